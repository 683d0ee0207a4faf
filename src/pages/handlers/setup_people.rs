//! The fields by which Setup adds people and the devices they sign in on.
use crate::pages::parts::{Choice, Control, Field};

/// What is asked of a device; a station is its place, and open or not.
pub fn device_fields(all: &[(Choice, bool)]) -> Vec<Field> {
    let kinds = ["tablet", "laptop", "phone", "wall"].map(|one| Choice::new(one, one));
    let mut stations = vec![Choice::new("", "no fixed place")];
    stations.extend(all.iter().map(|(one, _)| one.clone()));
    vec![
        Field::new("device_name", "Name", Control::Text).hint("Such as Counter or Wall by the door."),
        Field::new("device_kind", "What it is", Control::Select(kinds.into())),
        Field::new("device_station_id", "Its place", Control::Select(stations)).optional(),
    ]
}

/// What is asked of somebody who shall sign in.
pub fn account_fields(all: &[Choice]) -> Vec<Field> {
    let roles = [
        "desk",
        "stringer",
        "coordinator",
        "runner",
        "referee",
        "accounts",
        "admin",
    ];
    let mut stringers = vec![Choice::new("", "nobody")];
    stringers.extend(all.iter().cloned());
    let secret = |name: &str, label: &str| {
        Field::new(name, label, Control::Password)
            .autocomplete("new-password")
            .optional()
    };
    vec![
        Field::new("account_name", "Name", Control::Text),
        Field::new("account_login", "Account", Control::Text),
        Field::new(
            "account_role",
            "Role",
            Control::Select(roles.map(|one| Choice::new(one, one)).into()),
        ),
        secret("account_password", "Password").hint("At least 10 characters."),
        secret("account_pin", "PIN").hint("4 to 8 digits, for a second word at Hand Out."),
        Field::new(
            "account_stringer_id",
            "Is the stringer",
            Control::Select(stringers),
        )
        .optional(),
    ]
}
