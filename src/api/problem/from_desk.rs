//! The one place where a refusal of the desk gets its problem code.
use actix_web::http::header;
use serde_json::json;

use super::french::french;
use super::{Code, Fault, Place, Problem, Said};
use crate::desk::{DeskError, MemberFault, Override, Reason};

/// How long a caller waits before asking a busy database again, seconds.
const BUSY_S: u64 = 2;

impl From<DeskError> for Problem {
    fn from(error: DeskError) -> Self {
        match error {
            DeskError::NotFound(_) => Self::new(Code::NotFound),
            DeskError::SignInRefused => {
                Self::new(Code::SignInFailed).header(header::WWW_AUTHENTICATE, "Bearer")
            }
            DeskError::NotAllowed => Self::new(Code::RoleForbidden),
            DeskError::Invalid(faults) => with_faults(Self::new(Code::InvalidBody), faults),
            DeskError::Rule {
                reason,
                detail,
                faults,
                insist,
            } => {
                let problem = with_faults(said(code_of(reason), detail), faults);
                match insist {
                    Some(insist) => problem.member("override", how_to_insist(&insist)),
                    None => problem,
                }
            }
            DeskError::StateForbids { detail, allowed } => {
                said(Code::ActionNotAllowed, detail).member("allowed_actions", json!(allowed))
            }
            DeskError::Conflict {
                reason,
                detail,
                facts,
            } => {
                let mut problem = said(code_of(reason), detail);
                for (name, value) in facts {
                    problem = problem.member(name, value);
                }
                problem
            }
            DeskError::Stale { current } => {
                Self::new(Code::StaleVersion).member("current_version", json!(current))
            }
            DeskError::KeyReused => Self::new(Code::IdempotencyKeyReused),
            DeskError::Storage(cause) => {
                let busy = cause.is_unavailable();
                let problem = Self::internal(&cause);
                if busy {
                    Self::new(Code::Unavailable).retry_after_s(BUSY_S)
                } else {
                    problem
                }
            }
        }
    }
}

/// The detail as the desk said it, and in French.
fn said(code: Code, detail: String) -> Problem {
    let french = in_french(code, &detail);
    Problem::new(code).detail(detail, french)
}

/// The French of a sentence; the code's own explanation for one that has none.
fn in_french(code: Code, english: &str) -> String {
    french(english).unwrap_or_else(|| code.entry().explanation[1].to_owned())
}

fn with_faults(problem: Problem, faults: Vec<MemberFault>) -> Problem {
    faults.into_iter().fold(problem, |problem, fault| {
        let french = in_french(problem.code(), &fault.detail);
        let place = Place::Body(fault.pointer);
        let item = Fault::at(place, fault.code, Said::new(fault.detail, french));
        problem.fault(match fault.suggestion {
            Some(value) => item.suggest(value),
            None => item,
        })
    })
}

fn how_to_insist(insist: &Override) -> serde_json::Value {
    json!({"allowed": true, "needs": insist.needs, "by_role": insist.by_role})
}

fn code_of(reason: Reason) -> Code {
    match reason {
        Reason::ActionNotAllowed => Code::ActionNotAllowed,
        Reason::NothingWaiting => Code::NothingWaiting,
        Reason::RacketAlreadyIn => Code::RacketAlreadyIn,
        Reason::AlreadyExists => Code::AlreadyExists,
        Reason::AlreadyDecided => Code::AlreadyDecided,
        Reason::UnknownReference => Code::UnknownReference,
        Reason::CheckTheCode => Code::CheckTheCode,
        Reason::TensionOutOfRange => Code::TensionOutOfRange,
        Reason::FrameDamaged => Code::FrameDamaged,
        Reason::FrameContradicts => Code::FrameContradicts,
        Reason::OutsideLimits => Code::OutsideLimits,
        Reason::WrongTag => Code::WrongTag,
        Reason::WrongString => Code::WrongString,
        Reason::EvidenceMissing => Code::EvidenceMissing,
        Reason::ProofRefused => Code::ProofRefused,
        Reason::FeedJump => Code::FeedJump,
        Reason::NoStock => Code::NoStock,
        Reason::StringTooShort => Code::StringTooShort,
        Reason::WishUnclear => Code::WishUnclear,
        Reason::RuleRefused => Code::RuleRefused,
    }
}
