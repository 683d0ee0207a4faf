//! The ways in which crosses are woven into the mains.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// In which order, and by which end of the string, the crosses go in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum WeaveMethod {
    /// Cross 1 first, then down to the throat.
    HeadDown,
    /// Two pieces: from the start cross back to cross 1 on a short tail, then on below.
    StartCrossBack,
    /// One piece: the short side strings its mains and the top crosses.
    TopsOnShortSide,
    /// One piece whose mains finish at the throat, crosses still from the head.
    Around,
    /// Last cross first, then up to the head, where a frame allows it.
    ThroatUp,
}

impl WeaveMethod {
    /// The word used in data.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::HeadDown => "head_down",
            Self::StartCrossBack => "start_cross_back",
            Self::TopsOnShortSide => "tops_on_short_side",
            Self::Around => "around",
            Self::ThroatUp => "throat_up",
        }
    }

    /// What it is called at the bench.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::HeadDown => "crosses from the head down",
            Self::StartCrossBack => "from the start cross back to cross 1, then on below",
            Self::TopsOnShortSide => "tops on the short side",
            Self::Around => "around, crosses from the head",
            Self::ThroatUp => "crosses from the throat up",
        }
    }
}
