//! A form with files, written by hand as browsers send one (RFC 7578, 4 and 5).

/// A part: its field, the name of the file chosen in it, and its content.
pub(crate) type Part<'a> = (&'a str, Option<&'a str>, &'a [u8]);

/// The body with these parts.
pub(crate) fn form(boundary: &str, parts: &[Part<'_>]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, file, content) in parts {
        let file = file.map_or(String::new(), |file| {
            format!("; filename=\"{file}\"\r\nContent-Type: application/octet-stream")
        });
        let head = format!("--{boundary}\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n");
        body.extend(head.as_bytes());
        body.extend(*content);
        body.extend(b"\r\n");
    }
    body.extend(format!("--{boundary}--\r\n").as_bytes());
    body
}
