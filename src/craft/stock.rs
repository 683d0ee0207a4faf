//! String in stock: how many jobs a reel gives, and lengths told in racket lengths.

/// Whole jobs that a reel gives; 0 when a job takes nothing or is longer than the reel.
///
/// `waste_per_job_m` is what falls off at each cut beside the job's own length.
#[must_use]
pub fn jobs_per_reel(reel_m: f64, job_m: f64, waste_per_job_m: f64) -> u32 {
    let each_m = job_m + waste_per_job_m;
    if each_m.is_nan() || each_m <= 0.0 {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what fits"
    )]
    let jobs = (reel_m / each_m).floor().clamp(0.0, f64::from(u32::MAX)) as u32;
    jobs
}

/// A length in racket lengths, the bench's own measuring stick.
#[must_use]
pub fn racket_lengths(length_mm: f64, racket_mm: f64) -> f64 {
    length_mm / racket_mm
}

/// A piece of string that lies ready.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PieceAtHand {
    /// What is left of it, mm.
    pub length_mm: u32,
    /// Whether it is the player's own, which is taken first.
    pub own: bool,
}

/// From which piece each cut is taken, by index; `None` where one of them fits nowhere.
///
/// The player's own string goes first, then the shortest piece that is long
/// enough, so that reels stay long (common practice, no source). The pieces are
/// shortened by what is taken, unless a cut fits nowhere: then nothing changes.
pub fn place_cuts(pieces: &mut [PieceAtHand], cuts_mm: &[u32]) -> Option<Vec<usize>> {
    let mut left = pieces.to_vec();
    let mut taken_from = Vec::with_capacity(cuts_mm.len());
    for cut_mm in cuts_mm {
        let (index, piece) = left
            .iter_mut()
            .enumerate()
            .filter(|(_, piece)| piece.length_mm >= *cut_mm)
            .min_by_key(|(_, piece)| (!piece.own, piece.length_mm))?;
        piece.length_mm -= cut_mm;
        taken_from.push(index);
    }
    pieces.copy_from_slice(&left);
    Some(taken_from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reel_gives_whole_jobs_alone() {
        // by hand: 17 x 11.75 = 199.75, 18 x 11.75 = 211.5
        assert_eq!(jobs_per_reel(200.0, 11.7, 0.05), 17);
        assert_eq!(jobs_per_reel(11.75, 11.7, 0.05), 1);
        assert_eq!(jobs_per_reel(11.7, 11.7, 0.05), 0);
    }

    #[test]
    fn a_job_that_takes_nothing_gives_no_count() {
        assert_eq!(jobs_per_reel(200.0, 0.0, 0.0), 0);
        assert_eq!(jobs_per_reel(200.0, f64::NAN, 0.0), 0);
    }

    #[test]
    fn racket_lengths_count_rackets_laid_end_to_end() {
        // 27 in are 685.8 mm (exact inch), four and a half of them 3086.1 mm
        assert!((racket_lengths(3086.1, 685.8) - 4.5).abs() < 1e-12);
    }

    fn pieces(lengths_mm: &[u32]) -> Vec<PieceAtHand> {
        let piece = |length_mm: &u32| PieceAtHand {
            length_mm: *length_mm,
            own: false,
        };
        lengths_mm.iter().map(piece).collect()
    }

    #[test]
    fn each_cut_comes_from_the_shortest_piece_that_is_long_enough() {
        let mut at_hand = pieces(&[200_000, 6_100, 12_200]);
        assert_eq!(place_cuts(&mut at_hand, &[6_500, 5_800]), Some(vec![2, 1]));
        assert_eq!(
            at_hand.iter().map(|piece| piece.length_mm).collect::<Vec<_>>(),
            [200_000, 300, 5_700]
        );
    }

    #[test]
    fn a_set_gives_both_cuts() {
        let mut at_hand = pieces(&[12_300]);
        assert_eq!(place_cuts(&mut at_hand, &[6_500, 5_800]), Some(vec![0, 0]));
        assert_eq!(at_hand[0].length_mm, 0);
    }

    #[test]
    fn two_short_pieces_do_not_make_a_long_one_and_nothing_is_taken() {
        let mut at_hand = pieces(&[6_600, 5_000]);
        assert_eq!(place_cuts(&mut at_hand, &[6_500, 5_800]), None);
        assert_eq!(at_hand, pieces(&[6_600, 5_000]));
    }

    #[test]
    fn the_players_own_string_goes_first() {
        let mut at_hand = pieces(&[6_500, 12_000]);
        at_hand[1].own = true;
        assert_eq!(place_cuts(&mut at_hand, &[6_500]), Some(vec![1]));
    }
}
