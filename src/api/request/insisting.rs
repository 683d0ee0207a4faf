//! Bodies beside whose members a person may insist: `override` with a reason.
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use utoipa::openapi::schema::Schema;
use utoipa::openapi::{Ref, RefOr};
use utoipa::{PartialSchema, ToSchema};

use super::json::{self, UnreadJson};
use super::merge_patch::UnreadPatch;
use crate::api::jobs::hand_in::Insist;
use crate::api::problem::Problem;
use crate::craft::frame::FrameRecord;
use crate::craft::machine::MachineFacts;

/// The member.
const OVERRIDE: &str = "override";

/// What was said, and why it is meant so.
pub struct Insisting<T> {
    /// The body without the member.
    pub said: T,
    /// Why somebody insists on it.
    pub insist: Option<String>,
}

/// What the member alone looks like, so that a fault in it is named as in any body.
#[derive(serde::Deserialize)]
struct Beside {
    #[serde(rename = "override")]
    insist: Option<Insist>,
}

impl UnreadJson {
    /// Parses a body that may carry `override`.
    ///
    /// # Errors
    /// As [`Self::read`].
    pub fn read_insisting<T: DeserializeOwned>(self) -> Result<Insisting<T>, Problem> {
        let mut whole: Map<String, Value> = json::parse(self.bytes()?)?;
        let said = match whole.remove(OVERRIDE) {
            // read as it came: a member that stands twice is seen
            None => {
                return Ok(Insisting {
                    said: self.read()?,
                    insist: None,
                });
            }
            Some(insist) => (whole, insist),
        };
        Ok(Insisting {
            insist: reason(said.1)?,
            said: json::parse(&bytes(&said.0)?)?,
        })
    }
}

impl UnreadPatch {
    /// Lays a patch that may carry `override` over `current`.
    ///
    /// # Errors
    /// As [`Self::onto`].
    pub fn onto_insisting<T: Serialize + DeserializeOwned>(
        self,
        current: &T,
    ) -> Result<Insisting<T>, Problem> {
        let mut patch: Map<String, Value> = json::parse(self.bytes()?)?;
        let insist = match patch.remove(OVERRIDE) {
            Some(insist) => reason(insist)?,
            None => None,
        };
        let said = super::merge_patch::laid_over(Value::Object(patch), current)?;
        Ok(Insisting { said, insist })
    }
}

fn reason(insist: Value) -> Result<Option<String>, Problem> {
    let alone = Map::from_iter([(OVERRIDE.to_owned(), insist)]);
    let beside: Beside = json::parse(&bytes(&alone)?)?;
    Ok(beside.insist.map(|insist| insist.reason))
}

fn bytes(members: &Map<String, Value>) -> Result<Vec<u8>, Problem> {
    serde_json::to_vec(members).map_err(|error| Problem::internal(&error))
}

/// The shape of a body of `$of` that may carry `override`, under a name of its own.
macro_rules! beside {
    ($name:ident, $of:ty) => {
        #[doc = concat!("[`", stringify!($of), "`] as it is sent.")]
        pub struct $name;

        impl PartialSchema for $name {
            fn schema() -> RefOr<Schema> {
                with_override(<$of>::schema())
            }
        }

        impl ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
                <$of>::schemas(schemas);
                schemas.push((Insist::name().into_owned(), Insist::schema()));
            }
        }
    };
}

beside!(FrameToKeep, FrameRecord);
beside!(MachineToKeep, MachineFacts);

fn with_override(of: RefOr<Schema>) -> RefOr<Schema> {
    let RefOr::T(Schema::Object(mut object)) = of else {
        return of;
    };
    let insist = RefOr::Ref(Ref::from_schema_name(Insist::name()));
    object.properties.insert(OVERRIDE.to_owned(), insist);
    RefOr::T(Schema::Object(object))
}
