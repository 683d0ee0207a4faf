//! Lists in pages: a cursor stands on a row, so rows added meanwhile do not shift it.
use actix_web::HttpRequest;
use actix_web::http::header;
use actix_web::{HttpResponse, HttpResponseBuilder};
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD as BASE64URL;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use utoipa::ToSchema;

use super::problem::{Code, Fault, Place, Problem, Said};

/// How many items a page may have: 1 to 200, 50 when nothing is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(try_from = "u64")]
#[schema(value_type = u16, minimum = 1, maximum = 200, default = 50)]
pub struct Limit(u8);

impl Default for Limit {
    fn default() -> Self {
        Self(50)
    }
}

impl TryFrom<u64> for Limit {
    type Error = String;
    fn try_from(asked: u64) -> Result<Self, String> {
        u8::try_from(asked)
            .ok()
            .filter(|limit| (1..=200).contains(limit))
            .map(Self)
            .ok_or_else(|| format!("{asked} is not between 1 and 200"))
    }
}

impl Limit {
    /// The number of items.
    pub fn get(self) -> i64 {
        self.0.into()
    }
}

/// A place in a list ordered by (time, id).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cursor {
    /// The row's time in microseconds since 1970.
    pub at_us: i64,
    /// The row's id, which tells rows of one time apart.
    pub id: String,
}

impl Cursor {
    /// The opaque text; `list` names the list with its filters and tournament.
    pub fn encode(&self, list: &str) -> String {
        let mut bytes = mark_of(list).to_vec();
        bytes.extend_from_slice(&self.at_us.to_be_bytes());
        bytes.extend_from_slice(self.id.as_bytes());
        BASE64URL.encode(bytes)
    }

    /// Reads a cursor that the same `list` gave out.
    ///
    /// # Errors
    /// 400 `foreign_cursor` for any other text.
    pub fn decode(text: &str, list: &str) -> Result<Self, Problem> {
        Self::opened(text, list).ok_or_else(|| {
            let said = Said::new(
                "This cursor was not made by this list with these filters.",
                "Ce curseur ne vient pas de cette liste avec ces filtres.",
            );
            Problem::new(Code::ForeignCursor).fault(Fault::at(
                Place::Query("after".to_owned()),
                "foreign_cursor",
                said,
            ))
        })
    }

    fn opened(text: &str, list: &str) -> Option<Self> {
        let bytes = BASE64URL.decode(text).ok()?;
        let (mark, rest) = bytes.split_first_chunk::<8>()?;
        let (at_us, id) = rest.split_first_chunk::<8>()?;
        let id = String::from_utf8(id.to_vec()).ok()?;
        let fits = *mark == mark_of(list) && !id.is_empty() && id.len() <= 64 && !id.contains('\0');
        fits.then(|| Self {
            at_us: i64::from_be_bytes(*at_us),
            id,
        })
    }
}

fn mark_of(list: &str) -> [u8; 8] {
    let digest = Sha256::digest(list.as_bytes());
    let mut mark = [0; 8];
    mark.copy_from_slice(&digest[..8]);
    mark
}

/// Names a list: its path, its tournament and every parameter but the paging ones.
pub fn list_name(request: &HttpRequest, tournament: &str) -> String {
    let mut filters: Vec<&str> = kept(request).collect();
    filters.sort_unstable();
    format!("{}\n{tournament}\n{}", request.path(), filters.join("&"))
}

fn kept(request: &HttpRequest) -> impl Iterator<Item = &str> {
    let paging = |pair: &&str| !matches!(pair.split('=').next(), Some("after" | "limit" | "count") | None);
    request
        .query_string()
        .split('&')
        .filter(|pair| !pair.is_empty())
        .filter(paging)
}

/// One page of a list.
#[derive(Debug, Serialize, ToSchema)]
pub struct Page<T> {
    /// The items, in a stable order.
    pub items: Vec<T>,
    /// Pass it as `after` to go on; absent on the last page.
    pub next: Option<String>,
    /// Pass it as `after` to read the page before; absent where the list does not offer it.
    pub prev: Option<String>,
    /// How many there are in all, when asked for by `count=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<i64>,
}

impl<T: Serialize> Page<T> {
    /// Cuts a page out of `rows`, of which one more than `limit` was read to see
    /// whether there is a next page.
    pub fn cut(mut rows: Vec<T>, limit: Limit, list: &str, place: impl Fn(&T) -> Cursor) -> Self {
        let size = usize::from(limit.0);
        let more = rows.len() > size;
        rows.truncate(size);
        let next = rows.last().filter(|_| more).map(|row| place(row).encode(list));
        Self {
            items: rows,
            next,
            prev: None,
            count: None,
        }
    }

    /// A list that is always sent whole, because it stays small.
    pub fn whole(items: Vec<T>) -> Self {
        Self {
            items,
            next: None,
            prev: None,
            count: None,
        }
    }

    /// The answer, with its `Link` header (RFC 8288).
    pub fn answer(&self, request: &HttpRequest) -> HttpResponse {
        let mut answer: HttpResponseBuilder = HttpResponse::Ok();
        for (relation, cursor) in [("next", &self.next), ("prev", &self.prev)] {
            if let Some(cursor) = cursor {
                let limit = request
                    .query_string()
                    .split('&')
                    .find(|pair| pair.starts_with("limit="));
                let after = format!("after={cursor}");
                let query: Vec<&str> = kept(request).chain(limit).chain([after.as_str()]).collect();
                let link = format!("<{}?{}>; rel=\"{relation}\"", request.path(), query.join("&"));
                answer.append_header((header::LINK, link));
            }
        }
        answer
            .insert_header((header::CACHE_CONTROL, "private, no-cache"))
            .json(self)
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[test]
    fn a_cursor_opens_only_the_list_that_made_it() {
        let cursor = Cursor {
            at_us: -5,
            id: "job_01j".to_owned(),
        };
        let text = cursor.encode("/v1/jobs\ntrn_1\nstate=waiting");
        assert_eq!(
            Cursor::decode(&text, "/v1/jobs\ntrn_1\nstate=waiting").unwrap(),
            cursor
        );
        for (text, list) in [
            (text.as_str(), "/v1/jobs\ntrn_2\nstate=waiting"),
            ("", "/v1/jobs"),
            ("AAAA", "/v1/jobs"),
            ("not base64!", "/v1/jobs"),
            (&BASE64URL.encode(mark_of("/v1/jobs")), "/v1/jobs"),
        ] {
            assert_eq!(
                Cursor::decode(text, list).unwrap_err().code(),
                Code::ForeignCursor,
                "{text}"
            );
        }
    }

    #[test]
    fn a_list_is_named_by_its_filters_in_any_order() {
        let name = |query: &str| {
            list_name(
                &TestRequest::get()
                    .uri(&format!("/v1/jobs?{query}"))
                    .to_http_request(),
                "t",
            )
        };
        assert_eq!(
            name("state=waiting&q=a&limit=5"),
            name("q=a&state=waiting&after=xyz")
        );
        assert_ne!(name("state=waiting"), name("state=ready"));
    }

    #[test]
    fn limits_outside_the_range_are_refused() {
        assert_eq!(Limit::default().get(), 50);
        assert_eq!(Limit::try_from(200).unwrap().get(), 200);
        assert!(Limit::try_from(0).is_err() && Limit::try_from(201).is_err());
    }

    #[test]
    fn a_page_links_to_the_next_with_the_same_filters() {
        let request = TestRequest::get()
            .uri("/v1/jobs?state=waiting&limit=2")
            .to_http_request();
        let limit = Limit::try_from(2).unwrap();
        let place = |row: &i64| Cursor {
            at_us: *row,
            id: row.to_string(),
        };
        let page = Page::cut(vec![1, 2, 3], limit, "list", place);
        let next = page.next.clone().unwrap();
        assert_eq!(Cursor::decode(&next, "list").unwrap().id, "2");
        let link = page
            .answer(&request)
            .headers()
            .get("Link")
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        assert_eq!(
            link,
            format!("</v1/jobs?state=waiting&limit=2&after={next}>; rel=\"next\"")
        );
        let last = Page::cut(vec![1, 2], limit, "list", place);
        assert!(last.next.is_none() && last.answer(&request).headers().get("Link").is_none());
    }
}
