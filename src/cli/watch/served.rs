//! The page for the browser beside the editor, on this machine alone.

use std::net::Ipv4Addr;
use std::sync::{Arc, Mutex, PoisonError};

use serde::Serialize;
use tiny_http::{Header, Method, Request, Response, Server, StatusCode};

use crate::cli::failure::Failure;
use crate::report::page::watched::{FRAMED, STATE, watched};

/// A page that is served while it is written anew.
pub(in crate::cli) struct Served {
    shown: Arc<Mutex<ServedPage>>,
    address: String,
}

/// What a browser that asks is given.
#[derive(Default)]
struct ServedPage {
    state: ServedState,
    page: Arc<str>,
}

/// What a browser compares with what it shows.
#[derive(Debug, Clone, Default, Serialize)]
struct ServedState {
    /// Pages so far.
    number: usize,
    /// Why the last save gave none.
    error: Option<String>,
}

impl Served {
    /// Serves on a free port of the loopback address until the program ends.
    ///
    /// # Errors
    /// [`Failure`] where there is none.
    pub fn begin() -> Result<Self, Failure> {
        let cannot =
            |what: String| Failure::numeric(format!("--watch: the page cannot be served on this machine: {what}"));
        let server = Server::http((Ipv4Addr::LOCALHOST, 0)).map_err(|error| cannot(error.to_string()))?;
        let port = server.server_addr().to_ip().map(|address| address.port());
        let port = port.ok_or_else(|| cannot("it got no port".to_owned()))?;
        let shown = Arc::new(Mutex::new(ServedPage::default()));
        let asked = Arc::clone(&shown);
        std::thread::spawn(move || {
            for request in server.incoming_requests() {
                answer(request, port, &asked);
            }
        });
        Ok(Self { shown, address: format!("http://127.0.0.1:{port}/") })
    }

    /// Where a browser finds it.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// A new page.
    pub fn show(&self, page: &str) {
        let mut shown = self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        shown.page = page.into();
        shown.state = ServedState { number: shown.state.number + 1, error: None };
    }

    /// No page, and why; the last one stays.
    pub fn fail(&self, why: String) {
        self.shown.lock().unwrap_or_else(PoisonError::into_inner).state.error = Some(why);
    }
}

/// Answers a request. One that was meant for another host is refused: a stranger's page may have a name of its own lead here.
fn answer(request: Request, port: u16, shown: &Mutex<ServedPage>) {
    let hosts = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let host = request.headers().iter().find(|header| header.field.equiv("Host"));
    let is_own = host.is_some_and(|host| hosts.iter().any(|own| host.value.as_str().eq_ignore_ascii_case(own)));
    let path = request.url().split('?').next().unwrap_or_default().trim_start_matches('/').to_owned();
    let (code, kind, text): (u16, _, Arc<str>) = match path.as_str() {
        _ if !is_own => (403, "text/plain", "only this machine's own pages are served".into()),
        _ if *request.method() != Method::Get => (405, "text/plain", "there is only something to read".into()),
        "" => (200, "text/html", watched().into()),
        FRAMED => (200, "text/html", Arc::clone(&shown.lock().unwrap_or_else(PoisonError::into_inner).page)),
        STATE => {
            let state = shown.lock().unwrap_or_else(PoisonError::into_inner).state.clone();
            (200, "application/json", serde_json::to_string(&state).unwrap_or_default().into())
        }
        _ => (404, "text/plain", "there is no such page".into()),
    };
    let headers = [
        ("Content-Type", &*format!("{kind}; charset=utf-8")),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
    ];
    let headers = headers.iter().filter_map(|(field, value)| Header::from_bytes(*field, *value).ok()).collect();
    let length = text.len();
    let response = Response::new(StatusCode(code), headers, text.as_bytes(), Some(length), None)
        .with_chunked_threshold(usize::MAX);
    // A browser that has gone away needs no answer.
    let _ = request.respond(response);
}
