//! What holds for every page, whatever it shows; the render tests call it.
use std::collections::HashSet;

use askama::Template;

/// Renders a page and checks what all pages owe their readers.
///
/// With `WEFTDESK_PAGES_OUT` set to a folder the page is also written there, to be looked at in a browser.
pub(crate) fn rendered(name: &str, page: &impl Template) -> String {
    let html = page.render().unwrap();
    if let Some(folder) = std::env::var_os("WEFTDESK_PAGES_OUT") {
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.html")), &html).unwrap();
    }
    says_its_language_and_direction(&html);
    obeys_the_content_policy(&html);
    assert_eq!(html.matches("<h1").count(), 1, "{name}: one first heading");
    assert_eq!(html.matches("<main").count(), 1, "{name}: one main part");
    ids_are_unique(name, &html);
    every_post_form_can_be_sent_twice(name, &html);
    every_control_has_a_name_for_readers(name, &html);
    html
}

/// The texts of a page without its tags, with single spaces.
pub(crate) fn words(html: &str) -> String {
    let mut text = String::new();
    let mut inside_tag = false;
    for character in html.chars() {
        match character {
            '<' => inside_tag = true,
            '>' => {
                inside_tag = false;
                text.push(' ');
            }
            other if !inside_tag => text.push(other),
            _ => {}
        }
    }
    let text = text
        .replace("&#39;", "'")
        .replace("&#x27;", "'")
        .replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn says_its_language_and_direction(html: &str) {
    let start = html.find("<html").unwrap();
    let tag = &html[start..start + html[start..].find('>').unwrap()];
    assert!(tag.contains(" lang=\"") && tag.contains(" dir=\""), "{tag}");
}

fn obeys_the_content_policy(html: &str) {
    assert!(!html.contains(" style="), "no style attributes");
    assert!(!html.contains("<style"), "no inline style sheets");
    assert!(!html.contains("<script>"), "no inline scripts");
    for event in [" onclick=", " onsubmit=", " onload="] {
        assert!(!html.contains(event), "no {event}");
    }
    for address in html.split("src=\"").skip(1).chain(html.split("href=\"").skip(1)) {
        assert!(
            !address.starts_with("http") && !address.starts_with("//"),
            "{}",
            &address[..20]
        );
    }
}

/// What stands in the page itself: what a `<template>` holds is none of it until a script puts it in the
/// place of the same.
fn without_templates(html: &str) -> String {
    let mut parts = html.split("<template");
    let mut page = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        page += part.split_once("</template>").expect("a template that ends").1;
    }
    page
}

fn ids_are_unique(name: &str, html: &str) {
    let html = without_templates(html);
    let mut seen = HashSet::new();
    for rest in html.split(" id=\"").skip(1) {
        let id = &rest[..rest.find('"').unwrap()];
        assert!(seen.insert(id), "{name}: two elements are called {id}");
    }
    for rest in html.split("href=\"#").skip(1) {
        let id = &rest[..rest.find('"').unwrap()];
        assert!(seen.contains(id), "{name}: nothing is called {id}");
    }
}

fn every_post_form_can_be_sent_twice(name: &str, html: &str) {
    for form in html.split("<form").skip(1) {
        let form = &form[..form.find("</form>").unwrap()];
        // a print is counted each time it is asked for
        if form.contains("method=\"post\"") && !form.contains("data-each-time") {
            assert_eq!(
                form.matches("name=\"once\"").count(),
                1,
                "{name}: one key in each form: {form}"
            );
        }
    }
}

fn every_control_has_a_name_for_readers(name: &str, html: &str) {
    let mut before = String::new();
    for (index, rest) in html.split("<input").enumerate() {
        if index > 0 {
            let tag = &rest[..rest.find('>').unwrap()];
            let hidden = tag.contains("type=\"hidden\"");
            let wrapped = before
                .rfind("<label")
                .is_some_and(|at| !before[at..].contains("</label>"));
            let id = tag
                .split(" id=\"")
                .nth(1)
                .and_then(|part| part.split('"').next())
                .unwrap_or("-");
            let labelled = html.contains(&format!("for=\"{id}\"")) || tag.contains("aria-label");
            assert!(hidden || wrapped || labelled, "{name}: no label for <input{tag}>");
        }
        before.push_str("<input");
        before.push_str(rest);
    }
}
