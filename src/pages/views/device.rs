//! A device joins the desk: the link that Setup shows once, and the page it opens on the device.
//!
//! | method | address | fields |
//! |---|---|---|
//! | POST | `/setup/device` | `device_name`, `device_kind`, `device_station_id`, `once`: answers with the link |
//! | POST | `/setup/devices/{id}/revoke` | `once` |
//! | GET | `/device/{token}` | what this screen will be |
//! | POST | `/device/{token}` | `once`: this browser is the device from now on |
use askama::Template;

use crate::pages::shell::Shell;

/// The link of a new device, shown once.
#[derive(Debug, Template)]
#[template(path = "device_link.html", config = ".askama.toml")]
pub struct DeviceLink {
    pub shell: Shell,
    pub name: String,
    /// The whole address, to be opened on the device.
    pub address: String,
    pub qr_svg: String,
}

/// Opened on the device itself.
#[derive(Debug, Template)]
#[template(path = "device_join.html", config = ".askama.toml")]
pub struct DeviceJoin {
    pub shell: Shell,
    pub token: String,
    pub name: String,
    /// A screen on the wall needs nobody to sign in.
    pub is_wall: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::shell::Surface;

    #[test]
    fn the_link_is_shown_with_its_square_and_its_limit() {
        let page = DeviceLink {
            shell: Shell::invented("New device", Surface::Day, "Setup"),
            name: "Bench 3".into(),
            address: "https://desk.example/device/invented".into(),
            qr_svg: crate::pages::qr::qr_svg("https://desk.example/device/invented").unwrap(),
        };
        let html = rendered("device-link", &page);
        assert!(html.contains("<svg") && words(&html).contains("shown once"));
    }

    #[test]
    fn a_wall_screen_is_told_that_nobody_signs_in_on_it() {
        let mut page = DeviceJoin {
            shell: Shell::bare("Join", Surface::Day, "0192-invented"),
            token: "invented".into(),
            name: "Wall by the door".into(),
            is_wall: true,
        };
        let html = rendered("device-join-wall", &page);
        assert!(html.contains("action=\"/device/invented\"") && words(&html).contains("nobody signs in"));
        page.is_wall = false;
        assert!(words(&rendered("device-join", &page)).contains("with a PIN"));
    }
}
