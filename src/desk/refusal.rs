//! Every way in which a person or a machine can be refused, without a word of transport.
use std::collections::BTreeMap;

use crate::storage::StoreError;

/// What kind of thing was not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names are the things")]
pub enum Thing {
    Tournament,
    Account,
    Device,
    Player,
    Frame,
    Racket,
    StringProduct,
    StockPiece,
    Machine,
    Station,
    Stringer,
    Job,
    Snag,
    Pickup,
    Photo,
    Link,
    Plan,
    OrderOfPlay,
    Match,
    Shifts,
}

/// The rule or the fact that a refusal rests on; each has one problem code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// The job's state does not allow the action.
    ActionNotAllowed,
    /// No waiting job can be done at this station.
    NothingWaiting,
    /// The racket has an open job.
    RacketAlreadyIn,
    /// Something with this name, label or code is stored.
    AlreadyExists,
    /// Somebody decided first.
    AlreadyDecided,
    /// An id in the request belongs to nothing here.
    UnknownReference,
    /// A tag code was misread.
    CheckTheCode,
    /// The tension is outside the frame's range.
    TensionOutOfRange,
    /// The frame is recorded as cracked.
    FrameDamaged,
    /// The frame record contradicts itself.
    FrameContradicts,
    /// Outside what the sport or the model covers.
    OutsideLimits,
    /// Another racket's tag was scanned.
    WrongTag,
    /// Another string was scanned.
    WrongString,
    /// A scan, a reason or a check is missing.
    EvidenceMissing,
    /// The proof is not the owner's nor a named person's.
    ProofRefused,
    /// A change of match times would make many jobs late at once; a person must say yes.
    FeedJump,
    /// A string that the job asks for is not in stock.
    NoStock,
    /// The piece of string is shorter than the cut.
    StringTooShort,
    /// The wish as spoken can't be read, leaves something open or was not read back.
    WishUnclear,
    /// Another rule, told in the detail.
    RuleRefused,
}

/// One thing wrong with one member of a request.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberFault {
    /// JSON Pointer of the member.
    pub pointer: String,
    /// A code that never changes.
    pub code: &'static str,
    /// What is wrong and the way out, in English.
    pub detail: String,
    /// What was perhaps meant.
    pub suggestion: Option<serde_json::Value>,
}

impl MemberFault {
    /// A fault without a suggestion.
    pub fn at(pointer: impl Into<String>, code: &'static str, detail: impl Into<String>) -> Self {
        Self {
            pointer: pointer.into(),
            code,
            detail: detail.into(),
            suggestion: None,
        }
    }
}

/// What somebody may do all the same, and what it takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Override {
    /// The members the repeated request must carry.
    pub needs: Vec<&'static str>,
    /// Who may.
    pub by_role: Vec<&'static str>,
}

/// Why a use case was refused. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// There is no such thing in this tournament.
    #[error("no such {0:?}")]
    NotFound(Thing),
    /// The caller is not known: wrong sign-in, wrong PIN, ended session.
    #[error("sign-in refused")]
    SignInRefused,
    /// The caller's role may not do this.
    #[error("role may not do this")]
    NotAllowed,
    /// A member of the request is wrong.
    #[error("{} fault(s), first: {}", .0.len(), .0.first().map_or("", |fault| fault.detail.as_str()))]
    Invalid(Vec<MemberFault>),
    /// A rule of the trade is broken; a person may insist.
    #[error("{detail}")]
    Rule {
        /// Which rule.
        reason: Reason,
        /// What and why, in English.
        detail: String,
        /// Where in the request.
        faults: Vec<MemberFault>,
        /// How to insist, if one may.
        insist: Option<Override>,
    },
    /// The job's state forbids it.
    #[error("{detail}")]
    StateForbids {
        /// Why.
        detail: String,
        /// What the caller may do instead.
        allowed: Vec<crate::craft::job::AllowedAction>,
    },
    /// Something is in the way that is no job's state: taken already, nothing waiting.
    #[error("{detail}")]
    Conflict {
        /// What kind of fact.
        reason: Reason,
        /// Why.
        detail: String,
        /// More facts, by member name.
        facts: BTreeMap<&'static str, serde_json::Value>,
    },
    /// The request was made from an old version.
    #[error("stale version")]
    Stale {
        /// The version that stands now.
        current: i64,
    },
    /// The key was used for another request before.
    #[error("idempotency key reused")]
    KeyReused,
    /// The database failed; the cause is logged, never told.
    #[error("storage failed")]
    Storage(#[from] StoreError),
}

/// A result of the desk.
pub type DeskResult<T> = Result<T, DeskError>;

impl DeskError {
    /// One member is wrong.
    pub fn member(pointer: impl Into<String>, code: &'static str, detail: impl Into<String>) -> Self {
        Self::Invalid(vec![MemberFault::at(pointer, code, detail)])
    }

    /// A rule is broken and nobody may insist.
    pub fn rule(reason: Reason, detail: impl Into<String>) -> Self {
        Self::Rule {
            reason,
            detail: detail.into(),
            faults: Vec::new(),
            insist: None,
        }
    }

    /// Something is in the way.
    pub fn conflict(reason: Reason, detail: impl Into<String>) -> Self {
        Self::Conflict {
            reason,
            detail: detail.into(),
            facts: BTreeMap::new(),
        }
    }

    /// Adds a fact to a conflict.
    #[must_use]
    pub fn fact(mut self, name: &'static str, value: impl Into<serde_json::Value>) -> Self {
        if let Self::Conflict { facts, .. } = &mut self {
            facts.insert(name, value.into());
        }
        self
    }
}
