//! The answer to one request.
//!
//! Reads the head of a request and nothing else; opens nothing.

use super::Files;

/// Under which address files are handed out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Site {
    /// Host and port as a browser names them; any other host is refused, so that no page
    /// from elsewhere can read along under a name of its own.
    pub hosts: Vec<String>,
    /// The folder in front of every name; empty for none.
    pub folder: String,
}

/// A whole answer.
#[derive(Debug)]
pub(super) struct Answer {
    /// Status and headers.
    pub head: String,
    /// The file, or a sentence.
    pub body: Vec<u8>,
}

/// How many headers of a request are read.
const MOST_HEADERS: usize = 64;

/// What stands in every answer: nothing is guessed, framed, kept or told to others.
const ALWAYS: &str = "Connection: close\r\nCache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nReferrer-Policy: no-referrer\r\nCross-Origin-Resource-Policy: same-origin\r\nContent-Security-Policy: default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'\r\n";

impl Answer {
    /// A sentence instead of a file.
    fn sentence(status: &str, more: &str, words: &str) -> Answer {
        Answer {
            head: format!(
                "HTTP/1.1 {status}\r\n{ALWAYS}{more}Content-Type: text/plain; charset=utf-8\r\nContent-Length: {}\r\n\r\n",
                words.len()
            ),
            body: words.as_bytes().to_vec(),
        }
    }

    fn nothing() -> Answer {
        Answer::sentence("404 Not Found", "", "There is nothing here.\n")
    }

    fn unread() -> Answer {
        Answer::sentence("400 Bad Request", "", "This is no request.\n")
    }

    /// For a request whose head does not end.
    pub fn too_long() -> Answer {
        let status = "431 Request Header Fields Too Large";
        Answer::sentence(status, "", "The request is too long.\n")
    }

    /// For who comes while too many are there.
    pub fn busy() -> Answer {
        let more = "Retry-After: 2\r\n";
        Answer::sentence("503 Service Unavailable", more, "Too many at once.\n")
    }
}

/// The answer to a request, as soon as its head has been read whole.
pub(super) fn answer(head: &[u8], site: &Site, files: &Files) -> Option<Answer> {
    let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
    let mut request = httparse::Request::new(&mut headers);
    match request.parse(head) {
        Ok(httparse::Status::Complete(_)) => {}
        Ok(httparse::Status::Partial) => return None,
        Err(_) => return Some(Answer::unread()),
    }
    let (Some(method), Some(path)) = (request.method, request.path) else {
        return Some(Answer::unread());
    };
    let mut hosts = request
        .headers
        .iter()
        .filter(|one| one.name.eq_ignore_ascii_case("host"));
    let host = hosts
        .next()
        .and_then(|host| std::str::from_utf8(host.value).ok());
    let is_ours = |host: &str| site.hosts.iter().any(|own| own.eq_ignore_ascii_case(host));
    if !host.is_some_and(is_ours) || hosts.next().is_some() {
        let status = "421 Misdirected Request";
        return Some(Answer::sentence(status, "", "This is not its address.\n"));
    }
    let is_head = method == "HEAD";
    let mut answer = match method {
        "GET" | "HEAD" => found(path, site, files),
        _ => Answer::sentence(
            "405 Method Not Allowed",
            "Allow: GET, HEAD\r\n",
            "Pages can only be read.\n",
        ),
    };
    if is_head {
        answer.body.clear();
    }
    Some(answer)
}

/// The file that a path names.
fn found(path: &str, site: &Site, files: &Files) -> Answer {
    let path = path.split(['?', '#']).next().unwrap_or_default();
    let Some(inside) = path.strip_prefix('/') else {
        return Answer::nothing();
    };
    let name = match (site.folder.as_str(), inside.strip_prefix(&site.folder)) {
        ("", _) => inside,
        (folder, Some("")) => {
            let more = format!("Location: /{folder}/\r\n");
            return Answer::sentence("301 Moved Permanently", &more, "");
        }
        (_, Some(rest)) => match rest.strip_prefix('/') {
            Some(name) => name,
            None => return Answer::nothing(),
        },
        (_, None) => return Answer::nothing(),
    };
    let name = match name {
        "" => "index.html".to_owned(),
        name if name.ends_with('/') => format!("{name}index.html"),
        name => name.to_owned(),
    };
    match files(&name) {
        Some(body) => Answer {
            head: format!(
                "HTTP/1.1 200 OK\r\n{ALWAYS}Content-Type: {}\r\nContent-Length: {}\r\n\r\n",
                media_type(&name),
                body.len()
            ),
            body,
        },
        None => Answer::nothing(),
    }
}

/// The media type of a file, by its ending (RFC 6838).
fn media_type(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("jpg") => "image/jpeg",
        Some("png") => "image/png",
        Some("webp") => "image/webp",
        Some("txt") => "text/plain; charset=utf-8",
        Some(_) | None => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(name: &str) -> Option<Vec<u8>> {
        let known = [
            "index.html",
            "bags/index.html",
            "bags/bag-1.html",
            "book.js",
        ];
        known.contains(&name).then(|| name.as_bytes().to_vec())
    }

    fn asked(request: &str, folder: &str) -> Option<(String, String)> {
        let site = Site {
            hosts: vec!["127.0.0.1:8626".to_owned()],
            folder: folder.to_owned(),
        };
        let answer = answer(request.as_bytes(), &site, &files)?;
        let status = answer.head.split(' ').nth(1).unwrap_or_default().to_owned();
        Some((status, String::from_utf8_lossy(&answer.body).into_owned()))
    }

    #[test]
    fn only_files_that_there_are_are_handed_out() {
        let get = |path: &str, folder: &str| {
            let request = format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:8626\r\n\r\n");
            let (status, body) = asked(&request, folder).expect("an answer");
            (
                status.clone(),
                if status == "200" { body } else { String::new() },
            )
        };
        for (path, folder, status, body) in [
            ("/", "", "200", "index.html"),
            ("/bags/", "", "200", "bags/index.html"),
            ("/bags/bag-1.html?x=1", "", "200", "bags/bag-1.html"),
            ("/bags", "", "404", ""),
            ("//book.js", "", "404", ""),
            ("/../book.js", "", "404", ""),
            ("/bags/../book.js", "", "404", ""),
            ("/%2e%2e/etc/passwd", "", "404", ""),
            ("/..%2f..%2fetc%2fpasswd", "", "404", ""),
            ("/..\\..\\etc\\passwd", "", "404", ""),
            ("/etc/passwd", "", "404", ""),
            ("*", "", "404", ""),
            ("http://127.0.0.1:8626/book.js", "", "404", ""),
            ("/", "abc", "404", ""),
            ("/abc", "abc", "301", ""),
            ("/abc/", "abc", "200", "index.html"),
            ("/abc/book.js", "abc", "200", "book.js"),
            ("/abcbook.js", "abc", "404", ""),
            ("/abd/book.js", "abc", "404", ""),
            ("/ABC/book.js", "abc", "404", ""),
            ("/abc/../book.js", "abc", "404", ""),
        ] {
            assert_eq!(
                get(path, folder),
                (status.to_owned(), body.to_owned()),
                "{path} {folder}"
            );
        }
    }

    #[test]
    fn odd_requests_get_short_answers() {
        let host = "Host: 127.0.0.1:8626\r\n";
        for (request, status) in [
            (format!("HEAD / HTTP/1.1\r\n{host}\r\n"), "200"),
            (format!("GET / HTTP/1.0\r\n{host}\r\n"), "200"),
            (
                format!("POST / HTTP/1.1\r\n{host}Content-Length: 5\r\n\r\nhello"),
                "405",
            ),
            (format!("DELETE / HTTP/1.1\r\n{host}\r\n"), "405"),
            (format!("get / HTTP/1.1\r\n{host}\r\n"), "405"),
            (format!("PROPFIND / HTTP/1.1\r\n{host}\r\n"), "405"),
            ("GET / HTTP/1.1\r\n\r\n".to_owned(), "421"),
            (
                "GET / HTTP/1.1\r\nHost: example.org\r\n\r\n".to_owned(),
                "421",
            ),
            (
                format!("GET / HTTP/1.1\r\n{host}Host: example.org\r\n\r\n"),
                "421",
            ),
            ("GET / HTTP/9.9\r\n\r\n".to_owned(), "400"),
            ("\x16\x03\x01\x02\0\x01\0\x01".to_owned(), "400"),
            ("PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_owned(), "400"),
            (format!("GET /\0 HTTP/1.1\r\n{host}\r\n"), "400"),
            (
                format!("GET / HTTP/1.1\r\n{host}{}\r\n", "X: y\r\n".repeat(80)),
                "400",
            ),
        ] {
            let (found, body) = asked(&request, "").expect("an answer");
            assert_eq!(found, status, "{request:?}");
            assert!(!request.starts_with("HEAD") || body.is_empty());
        }
        assert_eq!(asked("GET / HTTP/1.1\r\nHost", ""), None, "more is to come");
    }
}
