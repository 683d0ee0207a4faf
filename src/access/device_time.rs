//! When a device says that something was tapped, which may be long before it could be sent.
use actix_web::HttpRequest;
use actix_web::http::header::HeaderName;
use chrono::{DateTime, Utc};

/// The header in which a device sends its own time of a tap (RFC 3339).
const DEVICE_TIME: HeaderName = HeaderName::from_static("weftdesk-device-time");

/// The header was there and held no RFC 3339 time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("Weftdesk-Device-Time is not an RFC 3339 time")]
pub struct NotATime;

/// The time of the tap by the device's clock; `None` where it was not sent.
///
/// # Errors
/// [`NotATime`].
pub fn of(request: &HttpRequest) -> Result<Option<DateTime<Utc>>, NotATime> {
    let Some(line) = request.headers().get(DEVICE_TIME) else {
        return Ok(None);
    };
    let time = line
        .to_str()
        .ok()
        .and_then(|text| DateTime::parse_from_rfc3339(text).ok());
    time.map(|time| Some(time.to_utc())).ok_or(NotATime)
}
