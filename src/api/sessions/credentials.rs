//! What is typed to sign in.
use serde::Deserialize;
use utoipa::ToSchema;

use crate::api::problem::{Code, Fault, Place, Problem, Said};
use crate::desk::sign_in::token_hash;

/// A sign-in with a password, or with a PIN and the device's token.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"sign_in": "counter", "password": "nine courts and a roof"}))]
pub struct Credentials {
    /// The account's name.
    #[schema(max_length = 60)]
    pub sign_in: String,
    /// The password, unless a PIN is given.
    #[serde(default)]
    pub password: Option<String>,
    /// Which tournament, needed when the same sign-in exists in several.
    #[serde(default)]
    pub tournament_id: Option<String>,
    /// The PIN, on a registered device.
    #[serde(default)]
    pub pin: Option<String>,
    /// The token of the registered device, with a PIN.
    #[serde(default)]
    pub device_token: Option<String>,
}

/// A refresh token that was given with a session.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"refresh_token": "q0V5c4n3o2Zl7yP1r6t8u9w0xA-BcDeFgHiJkLmNoPq"}))]
pub struct Refresh {
    /// The newest refresh token of the session.
    pub refresh_token: String,
}

/// One of the two ways to prove who one is.
pub enum Secret {
    /// A password.
    Password(String),
    /// A PIN on a registered device.
    Pin {
        /// What was typed.
        pin: String,
        /// What the device keeps.
        device_token: String,
    },
}

impl Secret {
    /// What was typed.
    pub fn typed(&self) -> &str {
        match self {
            Self::Password(typed) | Self::Pin { pin: typed, .. } => typed,
        }
    }

    /// The device's token, with a PIN.
    pub fn device_token(&self) -> Option<&str> {
        match self {
            Self::Password(_) => None,
            Self::Pin { device_token, .. } => Some(device_token),
        }
    }

    /// The name under which tries are counted: the account's for passwords, the device's for PINs.
    pub fn counted_under(&self, sign_in: &str) -> String {
        match self {
            Self::Password(_) => token_hash(&sign_in.trim().to_lowercase()),
            Self::Pin { device_token, .. } => token_hash(device_token),
        }
    }
}

impl Credentials {
    /// The one secret given.
    ///
    /// # Errors
    /// 422 when none or both are given, or a PIN without its device.
    pub fn secret(&self) -> Result<Secret, Problem> {
        match (&self.password, &self.pin, &self.device_token) {
            (Some(password), None, None) => Ok(Secret::Password(password.clone())),
            (None, Some(pin), Some(device_token)) => Ok(Secret::Pin {
                pin: pin.clone(),
                device_token: device_token.clone(),
            }),
            (None, Some(_), None) => Err(missing(
                "/device_token",
                "A PIN works on a registered device alone; send its token.",
                "Un code PIN ne vaut que sur un appareil enregistré ; envoyez son jeton.",
            )),
            (None, None, Some(_)) => Err(missing(
                "/pin",
                "Send the PIN with the device's token.",
                "Envoyez le code PIN avec le jeton de l’appareil.",
            )),
            (None, None, None) => Err(missing(
                "/password",
                "Send a password, or a PIN with a device's token.",
                "Envoyez un mot de passe, ou un code PIN avec le jeton d’un appareil.",
            )),
            (Some(_), _, _) => Err(fault(
                "/password",
                "not_together",
                "Send either a password or a PIN with a device's token.",
                "Envoyez soit un mot de passe, soit un code PIN avec le jeton d’un appareil.",
            )),
        }
    }
}

fn missing(pointer: &str, english: &str, french: &str) -> Problem {
    fault(pointer, "missing_member", english, french)
}

fn fault(pointer: &str, code: &'static str, english: &str, french: &str) -> Problem {
    let fault = Fault::at(Place::Body(pointer.to_owned()), code, Said::new(english, french));
    Problem::new(Code::InvalidBody).fault(fault)
}
