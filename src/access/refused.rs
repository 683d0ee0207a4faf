//! Why nobody is let in. Each door says it in its own words.
use super::token::TokenFault;

/// A refusal before anything was asked of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Neither a bearer token nor a cookie came along.
    #[error("not signed in")]
    NotSignedIn,
    /// The token is no good.
    #[error(transparent)]
    Token(#[from] TokenFault),
    /// A change made with a cookie came from another site.
    #[error("the change did not come from a page of this desk")]
    AnotherSite,
    /// Too many tries under one name.
    #[error("too many tries; the next one in {wait_s} s")]
    TooManyTries {
        /// Seconds until the next try is granted.
        wait_s: u64,
    },
    /// The server was composed without an access desk.
    #[error("no access desk in the application")]
    NoAccess,
}
