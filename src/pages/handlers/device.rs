//! Devices join the desk by a link from Setup, and leave it.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::filled::Filled;
use super::refused::Failure;
use super::visit::{self, Visitor};
use super::{Shown, door, setup};
use crate::access::{cookie, same_origin};
use crate::desk::reads::devices::Device;
use crate::desk::register_device::{DeviceKind, NewDevice, register_device, revoke_device};
use crate::desk::{Caller, Desk, DeskError, DeskResult, Thing, own_device};
use crate::pages::qr::qr_svg;
use crate::pages::shell::{Shell, Surface};
use crate::pages::views::device::{DeviceJoin, DeviceLink};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/setup/device", web::post().to(add))
        .route("/setup/devices/{id}/revoke", web::post().to(revoke))
        .route("/device/{token}", web::get().to(show))
        .route("/device/{token}", web::post().to(join));
}

/// Registers a device. The answer shows its link; a repeat can't, because only a hash is kept.
async fn add(request: HttpRequest, visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let token = visit::fresh_key()?;
    let (filled, kept) = (form.clone(), token.clone());
    let done = visitor
        .once("/setup/device", &form, move |tx| {
            let words = "Choose what it is.";
            let kind: DeviceKind = filled
                .get("device_kind")
                .parse()
                .map_err(|_unknown| DeskError::member("/kind", "invalid_value", words))?;
            let new = NewDevice {
                name: filled.get("device_name").to_owned(),
                kind,
                station_id: filled.some("device_station_id"),
            };
            Ok(register_device(tx, new, &kept)?.id)
        })
        .await;
    if let Err(error) = done {
        return setup::refused(&visitor, "device", &form, error).await;
    }
    if find(&visitor.desk, &token).await?.is_none() {
        return Ok(visitor.go_to("/setup"));
    }
    let here = request.connection_info();
    let address = format!("{}://{}/device/{token}", here.scheme(), here.host());
    let page = DeviceLink {
        shell: visitor.shell("New device", "Setup", "")?,
        name: form.get("device_name").to_owned(),
        qr_svg: qr_svg(&address).unwrap_or_default(),
        address,
    };
    visitor.page(StatusCode::OK, &page)
}

async fn revoke(
    request: HttpRequest,
    visitor: Visitor,
    id: web::Path<String>,
    form: web::Form<Filled>,
) -> Shown {
    let (device, wall) = (id.into_inner(), visitor.desk.clock().wall());
    let ended = visitor
        .once("/setup/devices/revoke", &form, move |tx| {
            Ok(revoke_device(tx, &device, wall)?.join(" "))
        })
        .await?;
    let access = door::access_of(&request)?;
    for session in ended.split_whitespace() {
        access.withdraw_session(session);
    }
    Ok(visitor.go_to("/setup"))
}

async fn find(desk: &Desk, token: &str) -> DeskResult<Option<Device>> {
    let token = token.to_owned();
    desk.read(move |db| own_device::by_token(db, &token)).await
}

async fn show(request: HttpRequest, token: web::Path<String>) -> Shown {
    let desk = visit::desk_of(&request)?;
    let device = find(&desk, &token).await?;
    let device = device.ok_or(DeskError::NotFound(Thing::Link))?;
    let page = DeviceJoin {
        shell: Shell::bare("Join the desk", Surface::Day, visit::fresh_key()?),
        token: token.into_inner(),
        is_wall: own_device::is_wall(&device),
        name: device.name,
    };
    Ok(HttpResponse::Ok()
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .body(page.render()?))
}

async fn join(request: HttpRequest, token: web::Path<String>) -> Shown {
    // the link is the only right this form has: it must come from our page
    same_origin::require(&request).map_err(|_refused| Failure::another_site())?;
    let desk = visit::desk_of(&request)?;
    let device = find(&desk, &token).await?;
    let device = device.ok_or(DeskError::NotFound(Thing::Link))?;
    let own = visit::fresh_key()?;
    let (link, kept) = (token.into_inner(), own.clone());
    let device = desk
        .write(&Caller::system(&device.tournament_id), move |tx| {
            own_device::take_in_use(tx, &link, &kept)
        })
        .await?;
    let secure = door::access_of(&request)?.secure_cookies();
    let next = if own_device::is_wall(&device) {
        "/wall?for=room"
    } else {
        "/sign-in"
    };
    Ok(HttpResponse::SeeOther()
        .content_type("text/html; charset=utf-8")
        .cookie(cookie::of_device(own, secure))
        .insert_header((header::LOCATION, next))
        .finish())
}
