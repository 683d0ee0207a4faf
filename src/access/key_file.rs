//! The signing key: 32 random bytes in a file that only the service may read.
use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
use std::path::Path;

/// Reads the key at `path`, creating it (mode 0600) when it is absent.
///
/// # Errors
/// When the file cannot be read or written, or does not hold exactly 32 bytes.
pub fn load_or_create(path: &Path) -> io::Result<[u8; 32]> {
    match fs::read(path) {
        Ok(bytes) => checked(path, &bytes),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            create(path)?;
            // another instance may have been first: what stands there counts
            checked(path, &fs::read(path)?)
        }
        Err(error) => Err(named(path, &error)),
    }
}

fn checked(path: &Path, bytes: &[u8]) -> io::Result<[u8; 32]> {
    let readers = fs::metadata(path)?.permissions().mode() & 0o077;
    if readers != 0 {
        tracing::warn!(path = %path.display(), "other users may read the signing key; set its mode to 0600");
    }
    <[u8; 32]>::try_from(bytes).map_err(|_wrong_length| {
        let said = format!(
            "{} must hold exactly 32 bytes, it holds {}",
            path.display(),
            bytes.len()
        );
        io::Error::new(io::ErrorKind::InvalidData, said)
    })
}

/// Writes a fresh key beside `path` and links it there in one step, so that no
/// reader ever sees half a key and the first of two writers wins.
fn create(path: &Path) -> io::Result<()> {
    let mut key = [0_u8; 32];
    getrandom::fill(&mut key).map_err(io::Error::other)?;
    let draft = path.with_extension(format!("draft-{}", std::process::id()));
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .mode(0o600)
        .open(&draft)
        .map_err(|error| named(&draft, &error))?;
    let written = file
        .write_all(&key)
        .and_then(|()| file.sync_all())
        .and_then(|()| fs::hard_link(&draft, path));
    fs::remove_file(&draft)?;
    match written {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => Err(named(path, &error)),
        Ok(()) | Err(_) => Ok(()),
    }
}

fn named(path: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_made_once_and_only_for_its_owner() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("signing.key");
        let key = load_or_create(&path).unwrap();
        assert_eq!(load_or_create(&path).unwrap(), key);
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        let other = load_or_create(&folder.path().join("other.key")).unwrap();
        assert_ne!(other, key);
    }

    #[test]
    fn a_file_of_another_length_is_refused_by_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("signing.key");
        fs::write(&path, "short").unwrap();
        let fault = load_or_create(&path).unwrap_err().to_string();
        assert!(
            fault.contains("signing.key") && fault.contains("32 bytes"),
            "{fault}"
        );
    }
}
