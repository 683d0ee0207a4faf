//! The built program that the browser is pointed at.
use std::path::PathBuf;

/// The program that `WEFTDESK_BINARY` names.
pub(crate) fn path() -> PathBuf {
    let Some(path) = std::env::var_os("WEFTDESK_BINARY").map(PathBuf::from) else {
        panic!(
            "WEFTDESK_BINARY does not name a built program; run these tests with `tests/run release browser`"
        );
    };
    assert!(
        path.is_file(),
        "WEFTDESK_BINARY names {}, where no file is; `tests/run release browser` builds it first",
        path.display()
    );
    path
}
