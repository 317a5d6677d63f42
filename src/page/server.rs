//! The server: loopback only, a few threads, one design at a time.

use super::answer::{self, Question};
use super::choices;
use super::desk::Desk;
use super::edit::Edit;
use super::guard::{Guard, Head, Verdict};
use super::start::{self, Readings};
use crate::design::Kind;
use crate::error::{self, Error, Result};
use crate::job::{Job, schema};
use crate::output::{self, Format};
use crate::workshop::{Advice, Waiting};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use clap::ValueEnum;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Read;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;
use tiny_http::{Header, Request, Response};

/// Longest body that is read, bytes: a hundred parts' answers are a tenth of it.
const LONGEST_BODY: usize = 256 << 10;
/// Requests that are looked at side by side: a browser sends six.
const THREADS: usize = 8;
/// Windows whose newest question is remembered.
const WINDOWS: usize = 64;

/// Everything comes from here, no script or style stands in a page, and no other site may frame it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; \
                      img-src 'self' data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// The page's own files.
const FILES: [(&str, &str, &str); 10] = [
    ("/", "text/html; charset=utf-8", include_str!("page.html")),
    ("/page.css", "text/css; charset=utf-8", include_str!("page.css")),
    ("/page.js", "text/javascript; charset=utf-8", include_str!("page.js")),
    ("/fields.js", "text/javascript; charset=utf-8", include_str!("fields.js")),
    ("/sheet.js", "text/javascript; charset=utf-8", include_str!("sheet.js")),
    ("/start.js", "text/javascript; charset=utf-8", include_str!("start.js")),
    ("/names.js", "text/javascript; charset=utf-8", include_str!("names.js")),
    ("/measure.js", "text/javascript; charset=utf-8", include_str!("measure.js")),
    ("/talk.js", "text/javascript; charset=utf-8", include_str!("talk.js")),
    ("/view.js", "text/javascript; charset=utf-8", include_str!("view.js")),
];

/// Makes every part of a job into a folder, as `fixwright make` does, and tells what was written.
pub type Make = fn(&Job, &Path) -> Result<Value>;

/// The live sheet's server.
pub struct Server {
    http: tiny_http::Server,
    port: u16,
    guard: Guard,
    kinds: Vec<Kind>,
    desk: Mutex<Desk>,
    out: PathBuf,
    make: Make,
    /// The newest question of each window, and whether it is waited for.
    newest: Mutex<BTreeMap<String, (u64, Waiting)>>,
    /// What the one design that is at work holds; a new one where the last was stopped, which runs out unheeded.
    designing: Mutex<Arc<Mutex<()>>>,
}

/// What goes back.
struct Reply {
    status: u16,
    sort: &'static str,
    body: Vec<u8>,
    field: Option<(&'static str, String)>,
}

impl Reply {
    fn of(status: u16, sort: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self { status, sort, body: body.into(), field: None }
    }

    fn json(status: u16, value: &Value) -> Self {
        Self::of(status, "application/json", value.to_string())
    }

    fn bytes(body: Vec<u8>) -> Self {
        Self::of(200, "application/octet-stream", body)
    }

    fn words(status: u16, words: &str) -> Self {
        Self::of(status, "text/plain; charset=utf-8", words)
    }

    fn error(error: &Error) -> Self {
        let status = if error.kind == error::Kind::Internal { 500 } else { 422 };
        Self::json(status, &json!({ "error": error }))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Editing {
    revision: u64,
    edit: Edit,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Taking {
    part: Question,
    format: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stepping {
    revision: u64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stopping {
    window: String,
    number: u64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Saving {
    over: bool,
}

fn read<T: DeserializeOwned>(body: &[u8]) -> Result<T> {
    serde_json::from_slice(body).map_err(|e| {
        Error::request(format!("The page's request cannot be read: {e}."), "Load the page again.")
    })
}

/// A panic elsewhere leaves what a lock holds as sound as it was: every change is made whole.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Server {
    /// Listens on 127.0.0.1 at that port, or at a free one, for the page of an open job, whose parts are
    /// made into the folder `out`.
    pub fn bind(port: Option<u16>, desk: Desk, kinds: &[Kind], out: &Path, make: Make) -> Result<Self> {
        let failed = |what: String| {
            let step = "Leave --port out to take a free one, or give another.";
            Error::new(error::Kind::File, format!("The page cannot be served: {what}."), step)
        };
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port.unwrap_or(0)));
        let listener = listener.map_err(|e| failed(e.to_string()))?;
        let port = listener.local_addr().map_err(|e| failed(e.to_string()))?.port();
        let http = tiny_http::Server::from_listener(listener, None).map_err(|e| failed(e.to_string()))?;
        Ok(Self {
            http,
            port,
            guard: Guard::at(port)?,
            kinds: kinds.to_vec(),
            desk: Mutex::new(desk),
            out: out.to_path_buf(),
            make,
            newest: Mutex::default(),
            designing: Mutex::default(),
        })
    }

    /// The address that lets a browser in.
    pub fn address(&self) -> String {
        self.guard.address()
    }

    /// Answers until the program ends.
    pub fn run(&self) {
        std::thread::scope(|scope| {
            for _ in 0..THREADS {
                scope.spawn(|| {
                    while let Ok(request) = self.http.recv() {
                        self.one(request);
                    }
                });
            }
        });
    }

    fn one(&self, mut request: Request) {
        // A design that panics is a fault of ours, but none that takes the other parts' page away.
        let replied = catch_unwind(AssertUnwindSafe(|| self.reply(&mut request)));
        let reply = replied.unwrap_or_else(|_| {
            Reply::error(&Error::internal("The design of this part broke off. The page is still here."))
        });
        let mut response = Response::from_data(reply.body).with_status_code(reply.status);
        // All of it is at hand: its length is told, and nothing is sent in chunks.
        response = response.with_chunked_threshold(usize::MAX);
        let fields = [
            ("Content-Type", reply.sort.to_string()),
            ("Content-Security-Policy", POLICY.to_string()),
            ("X-Content-Type-Options", "nosniff".to_string()),
            ("Referrer-Policy", "no-referrer".to_string()),
            ("Cross-Origin-Opener-Policy", "same-origin".to_string()),
            ("Cross-Origin-Resource-Policy", "same-origin".to_string()),
            ("Cache-Control", "no-store".to_string()),
        ];
        for (name, value) in fields.into_iter().chain(reply.field) {
            if let Ok(header) = Header::from_bytes(name, value) {
                response.add_header(header);
            }
        }
        // A browser that has gone away needs no answer.
        let _ = request.respond(response);
        self.nudge();
    }

    /// Opens a connection to ourselves and drops it. Of connections that come all at once the HTTP server
    /// may leave some without a thread until another ends (seen: a page that never loaded); this one ends.
    fn nudge(&self) {
        let _ = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port));
    }

    fn reply(&self, request: &mut Request) -> Reply {
        let target = request.url().to_string();
        let method = request.method().to_string();
        let fields: Vec<(String, String)> =
            request.headers().iter().map(|h| (h.field.to_string(), h.value.to_string())).collect();
        let head = Head {
            method: &method,
            target: &target,
            fields: fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect(),
        };
        match self.guard.judge(&head) {
            Verdict::Answer => {}
            Verdict::Refuse(status, words) => return Reply::words(status, words),
            Verdict::Enter(cookie) => {
                // The token leaves the address bar; the cookie stays.
                let to = Reply { field: Some(("Set-Cookie", cookie)), ..Reply::of(200, "text/html", ENTER) };
                return to;
            }
        }
        if method == "GET" {
            return self.get(&target);
        }
        if head.one("Content-Type") != Some("application/json") {
            return Reply::words(415, "Only JSON is read.");
        }
        let mut body = Vec::new();
        let announced = request.body_length().unwrap_or(0);
        let taken = request.as_reader().take(LONGEST_BODY as u64 + 1);
        if announced > LONGEST_BODY || { taken }.read_to_end(&mut body).is_err() || body.len() > LONGEST_BODY
        {
            return Reply::words(413, "The request is longer than any job.");
        }
        self.post(&target, &body).unwrap_or_else(|error| Reply::error(&error))
    }

    fn get(&self, target: &str) -> Reply {
        if let Some((_, sort, text)) = FILES.iter().find(|(path, ..)| *path == target) {
            return Reply::of(200, sort, *text);
        }
        let found = match target {
            "/schema" => schema::job(&self.kinds),
            "/choices" => choices::all(),
            "/job" => locked(&self.desk).state(),
            _ => return Reply::words(404, "There is no such thing here."),
        };
        found.map_or_else(|error| Reply::error(&error), |value| Reply::json(200, &value))
    }

    fn post(&self, target: &str, body: &[u8]) -> Result<Reply> {
        match target {
            "/answer" => return self.answer(&read(body)?),
            "/picture" => return self.picture(&read(body)?),
            "/files" => return self.files(&read(body)?),
            "/make" => return self.written(),
            "/stop" => return Ok(self.stop(&read(body)?)),
            "/start" => return Ok(Reply::json(200, &self.started(&read(body)?))),
            _ => {}
        }
        let mut desk = locked(&self.desk);
        let mut on = None;
        match target {
            "/edit" => {
                let asked: Editing = read(body)?;
                on = desk.edit(asked.revision, &asked.edit)?;
            }
            "/undo" => desk.step(read::<Stepping>(body)?.revision, true)?,
            "/redo" => desk.step(read::<Stepping>(body)?.revision, false)?,
            "/save" => desk.save(read::<Saving>(body)?.over)?,
            "/load" => desk.load()?,
            _ => return Ok(Reply::words(404, "There is no such thing here.")),
        }
        let mut state = desk.state()?;
        state["on"] = json!(on);
        Ok(Reply::json(200, &state))
    }

    /// What can be begun with readings, each part as it would be read; while they are typed an error is an answer.
    fn started(&self, readings: &Readings) -> Value {
        let read = |start: start::Start| {
            for choice in &start.choices {
                let Some(kind) = choice.kind else { continue };
                let (kind, answers) = (kind.to_string(), choice.answers.clone());
                self.order(&Question {
                    kind,
                    answers,
                    window: String::new(),
                    number: 0,
                    mating: false,
                    glance: false,
                })?;
            }
            Ok(json!(start))
        };
        start::start(readings).and_then(read).unwrap_or_else(|error| json!({ "error": error }))
    }

    /// The order behind a question, as it would stand in the open job.
    fn order(&self, question: &Question) -> Result<crate::job::Order> {
        let desk = locked(&self.desk);
        desk.refuse_foreign_printer(&question.answers)?;
        let mut order = answer::order(&self.kinds, question, &desk.shared()?)?;
        desk.look_beside(&mut order.shared);
        Ok(order)
    }

    /// What one holds who designs.
    fn turn(&self) -> Arc<Mutex<()>> {
        locked(&self.designing).clone()
    }

    /// Lets go what a window waits for: the next question need not wait for it.
    fn stop(&self, stopping: &Stopping) -> Reply {
        self.note(&stopping.window, stopping.number);
        *locked(&self.designing) = Arc::default();
        Reply::json(200, &json!({}))
    }

    /// Designs the part, unless a newer question of the same window came while this one waited.
    fn answer(&self, question: &Question) -> Result<Reply> {
        self.note(&question.window, question.number);
        let turn = self.turn();
        let _one_at_a_time = locked(&turn);
        let Some(waiting) = self.note(&question.window, question.number) else {
            return Ok(Reply::words(204, ""));
        };
        let began = Instant::now();
        let advice = if question.glance { Advice::Later } else { Advice::While(waiting.clone()) };
        let bytes = match self.order(question) {
            Ok(order) => answer::answer(&order, advice, question.mating),
            Err(error) => answer::refusal(&error),
        };
        if waiting.is_over() {
            return Ok(Reply::words(204, ""));
        }
        let took = format!("design;dur={:.1}", began.elapsed().as_secs_f64() * 1000.0);
        Ok(Reply { field: Some(("Server-Timing", took)), ..Reply::bytes(bytes) })
    }

    /// Notes the question, which ends the wait for those before it, and gives its own unless one of its window is newer.
    fn note(&self, window: &str, number: u64) -> Option<Waiting> {
        let mut newest = locked(&self.newest);
        if newest.len() >= WINDOWS && !newest.contains_key(window) {
            newest.clear();
        }
        let (known, waiting) = newest.entry(window.to_string()).or_default();
        if number > *known {
            waiting.end();
            (*known, *waiting) = (number, Waiting::default());
        }
        (*known == number).then(|| waiting.clone())
    }

    /// The part's picture as a drawing of lines and areas, for a browser without WebGL2.
    fn picture(&self, question: &Question) -> Result<Reply> {
        let order = self.order(question)?;
        let turn = self.turn();
        let _one_at_a_time = locked(&turn);
        let made = output::draft(&order, &[])?;
        let shots = output::picture::shots(&made.design)?;
        let shot = shots.iter().find(|shot| !shot.in_place).or(shots.first());
        Ok(shot.map_or_else(
            || Reply::words(404, "No picture."),
            |shot| Reply::of(200, "image/svg+xml", shot.svg.clone()),
        ))
    }

    /// A part's files of one format, as they would be written, for the browser to keep.
    fn files(&self, taking: &Taking) -> Result<Reply> {
        let format = Format::from_str(&taking.format, false).map_err(|_| {
            let formats: Vec<String> = choices::formats().collect();
            Error::unknown(
                format!("'{}' is no format.", taking.format),
                format!("Take one of {}.", formats.join(", ")),
            )
        })?;
        let order = self.order(&taking.part)?;
        let turn = self.turn();
        let _one_at_a_time = locked(&turn);
        let mut made = output::make(&order, &[format])?;
        if let Some(error) = output::stop_error(&made.design) {
            return Err(error);
        }
        let name = made.design.name.clone();
        let sheet = output::job_files((&name, &name), std::slice::from_ref(&made), &[format], false)?;
        made.files.extend(sheet);
        if made.files.is_empty() {
            return Err(Error::request(
                format!("A {} has no file of the format {}.", order.kind, taking.format),
                "Take another format.",
            ));
        }
        let files =
            made.files.iter().map(|file| json!({ "name": file.name, "bytes": STANDARD.encode(&file.bytes) }));
        Ok(Reply::json(200, &files.collect()))
    }

    fn written(&self) -> Result<Reply> {
        let job = locked(&self.desk).job()?;
        Ok(Reply::json(200, &(self.make)(&job, &self.out)?))
    }
}

/// A redirection would be answered before a strict cookie counts; a page of the same site is not.
const ENTER: &str = "<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><meta http-equiv=\"refresh\" content=\"0; url=/\"><link rel=\"icon\" href=\"data:,\">\
                     <title>fixwright</title><p><a href=\"/\">To the sheet</a></p></html>";
