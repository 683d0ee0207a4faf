//! The fields by which Setup adds people and the devices they sign in on.
use crate::craft::roles::Role;
use crate::desk::reads::accounts::Account;
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
/// `of` stands before the names of its fields; what is there already gets no other sign-in.
pub fn account_fields(of: &str, there: Option<&Account>, all: &[Choice]) -> Vec<Field> {
    let own = there.and_then(|account| account.stringer_id.as_ref());
    let mut stringers = vec![Choice::new("", "nobody")];
    stringers.extend(all.iter().map(|one| one.clone().chosen(own == Some(&one.value))));
    let field = |name: &str, label: &str, control| Field::new(format!("{of}_{name}"), label, control);
    let secret = |name: &str, label: &str| {
        field(name, label, Control::Password)
            .autocomplete("new-password")
            .optional()
    };
    let role = there.map_or("", |account| account.role.as_str());
    let roles = Role::OF_PEOPLE
        .map(Role::as_str)
        .map(|one| Choice::new(one, one).chosen(one == role));
    let mut fields = vec![
        field("name", "Name", Control::Text).value(there.map_or("", |account| &account.display_name)),
        field("role", "Role", Control::Select(roles.into())),
        secret(
            "password",
            if there.is_some() {
                "New password"
            } else {
                "Password"
            },
        )
        .hint("At least 10 characters."),
        secret("pin", if there.is_some() { "New PIN" } else { "PIN" })
            .hint("4 to 8 digits, for a second word at Hand Out."),
        field("stringer_id", "Is the stringer", Control::Select(stringers)).optional(),
    ];
    match there {
        None => fields.insert(1, field("login", "Account", Control::Text)),
        Some(account) => {
            let active = if account.active { "yes" } else { "" };
            let tick = field("active", "May sign in", Control::Tick).value(active);
            fields.push(tick.free());
        }
    }
    fields
}
