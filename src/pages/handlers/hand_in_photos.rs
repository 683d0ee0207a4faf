//! Photos in a Hand In form: chosen line by line, kept with the rackets they show.
use actix_web::web::Bytes;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use super::filled::Filled;
use super::hand_in_card::lines_of;
use super::hand_in_condition::only_place;
use super::uploaded::WithPhotos;
use crate::desk::keep_photo::{Mark, keep_photo, refused};
use crate::desk::{DeskError, DeskResult, Tx};
use crate::pages::parts::{Control, Field};
use crate::pages::views::hand_in::{Card, PhotoAgain};
use crate::photos::{NotKept, Picture, prepare};

/// The photos of a form: which line, and the photo as it will be kept.
pub type Pictures = Vec<(usize, Picture)>;

/// Whether a field of the form holds a photo.
pub fn is_photo(field: &str) -> bool {
    field.ends_with("_photo") || field.ends_with("_photo_again")
}

fn name(number: usize) -> String {
    format!("line_{number}_photo")
}

fn name_again(number: usize) -> String {
    format!("line_{number}_photo_again")
}

fn name_out(number: usize) -> String {
    format!("line_{number}_photo_out")
}

/// Where a photo of a line is chosen.
pub fn field(number: usize) -> Field {
    Field::new(
        name(number),
        format!("Add a photo of racket {number}"),
        Control::Photo,
    )
    .hint("Of its marks or damage. Place and camera in the file are not kept.")
    .free()
}

/// Makes photos of what was sent; a fresh one stands for one that came along before.
/// What is wrong with one loses none of the others.
pub async fn pictures(sent: &WithPhotos) -> (Pictures, Vec<(usize, NotKept)>) {
    let (mut made, mut wrong) = (Vec::new(), Vec::new());
    for number in 1..=lines_of(&sent.form) {
        if sent.too_large.contains(&name(number)) {
            wrong.push((number, NotKept::TooLarge));
            continue;
        }
        let file = |name: String| sent.photos.iter().find(|(field, _)| *field == name);
        let fresh = file(name(number)).map(|(_, file)| file.clone());
        let left_out = sent.form.get(&name_out(number)) == "yes";
        let again = file(name_again(number))
            .filter(|_| !left_out)
            .and_then(|(_, text)| STANDARD.decode(text).ok());
        let Some(file) = fresh.or_else(|| again.map(Bytes::from)) else {
            continue;
        };
        match prepare(file).await {
            Ok(picture) => made.push((number, picture)),
            Err(cause) => wrong.push((number, cause)),
        }
    }
    (made, wrong)
}

/// The refusal that names the fields of those photos.
pub fn fault(wrong: &[(usize, NotKept)]) -> Option<DeskError> {
    let faults = wrong
        .iter()
        .filter_map(|(number, cause)| match refused(*cause, &name(*number)) {
            DeskError::Invalid(faults) => Some(faults),
            _ => None,
        });
    let faults: Vec<_> = faults.flatten().collect();
    (!faults.is_empty()).then_some(DeskError::Invalid(faults))
}

/// Puts the photos that came along back on the card.
pub fn put_back(card: &mut Card, pictures: &Pictures) {
    for (number, picture) in pictures {
        if let Some(line) = card.lines.get_mut(number - 1) {
            line.photo_again = Some(PhotoAgain {
                name: name_again(*number),
                out: name_out(*number),
                whole: STANDARD.encode(&picture.whole),
                small: STANDARD.encode(&picture.small),
            });
        }
    }
}

/// Keeps the photos of rackets that were just taken in.
///
/// # Errors
/// As [`keep_photo`], with the field of the line.
pub fn keep(
    tx: &mut Tx<'_>,
    form: &Filled,
    jobs: &[(String, String)],
    pictures: &Pictures,
) -> DeskResult<()> {
    for (number, picture) in pictures {
        let Some((job_id, racket_id)) = jobs.get(number - 1) else {
            continue;
        };
        let mark = Mark {
            job_id: Some(job_id.clone()),
            place: only_place(form, *number),
        };
        keep_photo(tx, racket_id, mark, picture).map_err(|error| at_field(error, *number))?;
    }
    Ok(())
}

fn at_field(error: DeskError, number: usize) -> DeskError {
    match error {
        DeskError::Rule {
            reason,
            detail,
            mut faults,
            insist,
        } => {
            for fault in &mut faults {
                fault.pointer = format!("/{}", name(number));
            }
            DeskError::Rule {
                reason,
                detail,
                faults,
                insist,
            }
        }
        other => other,
    }
}
