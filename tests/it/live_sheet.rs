//! The live sheet's server over a real socket: it answers its own page and nobody else, with the command
//! line's numbers, and no part takes it down.

use fixwright::design::Kind;
use fixwright::page::{Desk, Server};
use fixwright::prelude::*;
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::{Condvar, LazyLock, Mutex};

/// A kind whose design is a fault of the program.
#[derive(Default, clap::Args, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
struct Faulty {}

impl Part for Faulty {
    fn default_name(&self) -> String {
        "faulty".into()
    }

    fn design(&self, _: &Workshop, _: &str) -> Result<Design> {
        panic!("a fault of the program")
    }
}

/// A kind whose design takes until the test lets it go on.
#[derive(Debug, Default, clap::Args, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
struct Slow {}

static SLOW: (Mutex<Stage>, Condvar) = (Mutex::new(Stage::Before), Condvar::new());

#[derive(Clone, Copy, PartialEq)]
enum Stage {
    Before,
    AtWork,
    LetGo,
}

/// Goes on to a stage, or waits until it is reached.
fn stage(now: Option<Stage>, until: Stage) {
    let mut at = SLOW.0.lock().unwrap();
    if let Some(now) = now {
        *at = now;
        SLOW.1.notify_all();
    }
    drop(SLOW.1.wait_while(at, |at| *at != until).unwrap());
}

impl Part for Slow {
    fn default_name(&self) -> String {
        "slow".into()
    }

    fn design(&self, _: &Workshop, _: &str) -> Result<Design> {
        stage(Some(Stage::AtWork), Stage::LetGo);
        Err(fixwright::error::Error::request("It was let go.", "Nothing."))
    }
}

const JOB: &str = "title = \"Winder\"\n\n[[sleeve]]\nname = \"front\"\nbearing = \"6204\"\nreach = 60 # read\nsteel-nose = true\n";

/// A server that runs until the tests end, and the address that lets in.
struct Served {
    port: u16,
    token: String,
    folder: tempfile::TempDir,
}

static SERVED: LazyLock<Served> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    std::fs::write(&path, JOB).unwrap();
    let faulty = Kind::of::<Faulty>("faulty", "A kind whose design breaks off");
    let slow = Kind::of::<Slow>("slow", "A kind whose design takes long");
    let kinds: Vec<Kind> = KINDS.iter().copied().chain([faulty, slow]).collect();
    let desk = Desk::open(&path, &kinds).unwrap();
    let server = Server::bind(None, desk, &kinds, folder.path(), |_, _| Ok(Value::Null)).unwrap();
    let address = server.address();
    let (host, token) = address.strip_prefix("http://127.0.0.1:").unwrap().split_once("/?token=").unwrap();
    let served = Served { port: host.parse().unwrap(), token: token.into(), folder };
    std::thread::spawn(move || server.run());
    served
});

/// Sends bytes and gives the status, the head and the body of what comes back.
fn raw(request: &[u8]) -> (u16, String, Vec<u8>) {
    let mut stream = TcpStream::connect(("127.0.0.1", SERVED.port)).unwrap();
    stream.write_all(request).unwrap();
    let mut all = Vec::new();
    // A server that has refused may hang up while more is on its way.
    let _ = stream.read_to_end(&mut all);
    let at = all.windows(4).position(|w| w == b"\r\n\r\n").unwrap_or(all.len());
    let head = String::from_utf8_lossy(&all[..at]).into_owned();
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
    (status, head, all.get(at + 4..).unwrap_or_default().to_vec())
}

/// A request with these fields of the head beside those of a page of ours; an empty value leaves one out.
fn send(line: &str, changed: &[(&str, &str)], body: &str) -> (u16, String, Vec<u8>) {
    let own = [
        ("Host", format!("127.0.0.1:{}", SERVED.port)),
        ("Origin", format!("http://127.0.0.1:{}", SERVED.port)),
        ("Sec-Fetch-Site", "same-origin".into()),
        ("Cookie", COOKIE.clone()),
        ("Content-Type", "application/json".into()),
        ("Content-Length", body.len().to_string()),
    ];
    let mut head = format!("{line} HTTP/1.1\r\nConnection: close\r\n");
    for (name, value) in own {
        let value = changed.iter().find(|(other, _)| *other == name).map_or(value, |(_, v)| v.to_string());
        if !value.is_empty() {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
    }
    raw(format!("{head}\r\n{body}").as_bytes())
}

static COOKIE: LazyLock<String> = LazyLock::new(|| {
    let enter = format!(
        "GET /?token={} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
        SERVED.token, SERVED.port
    );
    let (status, head, body) = raw(enter.as_bytes());
    assert_eq!(status, 200);
    assert!(!String::from_utf8_lossy(&body).contains(&SERVED.token));
    let cookie = head.lines().find_map(|line| line.strip_prefix("Set-Cookie: ")).unwrap();
    assert!(cookie.ends_with("; Path=/; HttpOnly; SameSite=Strict"), "{cookie}");
    let cookie = cookie.split(';').next().unwrap();
    assert!(!cookie.contains(&SERVED.token), "the cookie tells the token");
    cookie.to_string()
});

fn question(kind: &str, answers: Value) -> String {
    json!({ "kind": kind, "answers": answers, "window": "w", "number": 1 }).to_string()
}

/// The words of an answer.
fn words(bytes: &[u8]) -> Value {
    let length = u32::from_le_bytes(bytes[..4].try_into().unwrap()) as usize;
    serde_json::from_slice(&bytes[4..4 + length]).unwrap()
}

#[test]
fn only_its_own_page_is_answered() {
    assert_eq!(send("GET /job", &[], "").0, 200);
    let stranger = format!("127.0.0.1:{}", SERVED.port + 1);
    let refused: [(u16, &str, (&str, &str)); 14] = [
        (421, "GET /job", ("Host", "evil.example")),
        (421, "GET /job", ("Host", "localhost")),
        (421, "GET /job", ("Host", &stranger)),
        (403, "GET /job", ("Origin", "http://evil.example")),
        (403, "GET /job", ("Origin", "null")),
        (403, "POST /undo", ("Origin", "")),
        (403, "GET /job", ("Sec-Fetch-Site", "cross-site")),
        (403, "GET /job", ("Sec-Fetch-Site", "same-site")),
        (403, "POST /undo", ("Sec-Fetch-Site", "none")),
        (403, "GET /job", ("Cookie", "")),
        (403, "GET /job", ("Cookie", "fixwright=1; other=2")),
        (403, "GET /?token=0123", ("Cookie", "")),
        (405, "PUT /job", ("Origin", "")),
        (415, "POST /undo", ("Content-Type", "text/plain")),
    ];
    for (status, line, field) in refused {
        let (got, head, _) = send(line, &[field], "");
        assert_eq!(got, status, "{line} {field:?}");
        assert!(!head.contains("Set-Cookie"));
    }
    let wrong = COOKIE.replace(['a', '0'], "b");
    assert_eq!(send("GET /job", &[("Cookie", &wrong)], "").0, 403);
}

#[test]
fn a_strict_policy_stands_over_every_answer() {
    for (line, cookie) in [("GET /", COOKIE.as_str()), ("GET /nothing", &COOKIE), ("GET /", "x=y")] {
        let (_, head, body) = send(line, &[("Cookie", cookie)], "");
        let policy = head.lines().find_map(|line| line.strip_prefix("Content-Security-Policy: ")).unwrap();
        assert!(policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self';"), "{policy}");
        assert!(!policy.contains("unsafe") && policy.contains("frame-ancestors 'none'"));
        let page = String::from_utf8(body).unwrap();
        assert!(!page.contains("style=") && !page.contains("onclick") && !page.contains("<style"));
        assert!(page.matches("<script").count() == page.matches("<script type=\"module\" src=").count());
    }
}

#[test]
fn no_path_leads_out_of_the_page() {
    for path in [
        "/../Cargo.toml",
        "/%2e%2e/Cargo.toml",
        "/..%2fjob.toml",
        "/job.toml",
        "//page.css",
        "/page.css/../job",
        "/./job",
        "/page.css?x",
        "/\\page.css",
    ] {
        let (status, _, body) = send(&format!("GET {path}"), &[], "");
        assert_eq!(status, 404, "{path}");
        assert!(!String::from_utf8_lossy(&body).contains("title"));
    }
    for printer in ["../../etc/passwd", "/etc/passwd", "/etc/hostname.toml", "..", "job.toml/../job.toml"] {
        let body = question("sleeve", json!({ "bearing": "6204", "printer": printer }));
        let (status, _, answer) = send("POST /answer", &[], &body);
        assert_eq!(status, 200);
        let error = &words(&answer)["error"];
        assert!(
            error["says"].as_str().unwrap().contains("no preset file beside the job"),
            "{printer}: {error}"
        );
    }
    for name in ["../out", "a/b", "CON", ".hidden", "<script>alert(1)</script>"] {
        let (_, _, answer) =
            send("POST /answer", &[], &question("sleeve", json!({ "bearing": "6204", "name": name })));
        assert!(words(&answer)["error"].is_object(), "{name}");
    }
}

#[test]
fn a_body_longer_than_any_job_is_not_read() {
    let long = question("sleeve", json!({ "bearing": "6".repeat(300_000) }));
    assert_eq!(send("POST /answer", &[], &long).0, 413);
    let (status, _, body) =
        send("POST /answer", &[], &question("sleeve", json!({ "bearing": "6".repeat(100_000) })));
    assert_eq!(status, 200);
    assert!(words(&body)["error"].is_object());
    for unsound in [
        "",
        "[]",
        "{",
        "{\"kind\": 3}",
        "{\"kind\":\"sleeve\",\"answers\":{},\"window\":\"w\",\"number\":-1}",
    ] {
        assert_eq!(send("POST /answer", &[], unsound).0, 422, "{unsound}");
    }
}

#[test]
fn a_design_that_panics_is_told_and_the_server_stays() {
    let (status, _, body) = send("POST /answer", &[], &question("faulty", json!({})));
    assert_eq!(status, 500);
    assert!(String::from_utf8(body).unwrap().contains("broke off"));
    for _ in 0..10 {
        send("POST /answer", &[], &question("faulty", json!({})));
    }
    let (status, _, body) = send("POST /answer", &[], &question("sleeve", json!({ "bearing": "6204" })));
    assert_eq!(status, 200);
    assert_eq!(words(&body)["report"]["part"], "sleeve");
}

#[test]
fn its_answer_is_the_report_that_the_command_line_gives() {
    let answers =
        json!({ "bearing": "6204", "reach": "2.5in", "steel-nose": true, "name": "front", "shop": 18 });
    let (_, _, answer) = send("POST /answer", &[], &question("sleeve", answers));
    let words = words(&answer);
    let told = std::process::Command::new(env!("CARGO_BIN_EXE_fixwright"))
        .args(["sleeve", "6204", "--reach", "2.5in", "--steel-nose", "--name", "front", "--shop", "18"])
        .args(["--format", "json", "--json", "--out"])
        .arg(SERVED.folder.path().join("told"))
        .output()
        .unwrap();
    let mut told: Value = serde_json::from_slice(&told.stdout).unwrap();
    let mut report = words["report"].clone();
    for differs in ["files", "written"] {
        told.as_object_mut().unwrap().remove(differs);
        report.as_object_mut().unwrap().remove(differs);
    }
    assert_eq!(report, told);
    // The meshes that follow are the piece's own.
    let meshes = words["meshes"].as_array().unwrap();
    let numbers =
        |mesh: &Value| 3 * count(mesh, "points") + 3 * count(mesh, "triangles") + 2 * count(mesh, "edges");
    let told = 4 + u32::from_le_bytes(answer[..4].try_into().unwrap()) as usize;
    assert_eq!(answer.len(), told + 4 * meshes.iter().map(numbers).sum::<usize>());
    let triangles: usize = meshes.iter().map(|mesh| count(mesh, "triangles")).sum();
    assert_eq!(triangles as u64, words["report"]["mesh"]["triangles"].as_u64().unwrap());
}

#[test]
fn what_does_not_hold_is_told_at_a_glance_and_what_clears_it_afterwards() {
    let answers = json!({ "bearing": "6204", "name": "front" });
    let told = |glance: bool, window: &str| {
        let question =
            json!({ "kind": "sleeve", "answers": answers, "glance": glance, "window": window, "number": 1 });
        let (_, _, answer) = send("POST /answer", &[], &question.to_string());
        words(&answer)["report"]["findings"].as_array().unwrap().clone()
    };
    let (first, then) = (told(true, "glance"), told(false, "advised"));
    assert_eq!(first.len(), then.len());
    let mut advised = 0;
    for (first, then) in first.iter().zip(&then) {
        let mut same = first.clone();
        if then.get("changes").is_some_and(|changes| !changes.as_array().unwrap().is_empty()) {
            assert!(first.get("changes").is_none_or(|changes| changes.as_array().unwrap().is_empty()));
            assert!(first["try"].as_str().unwrap().contains("being tried"), "{first}");
            advised += 1;
        }
        for key in ["try", "changes"] {
            same[key] = then[key].clone();
        }
        let mut then = then.clone();
        for key in ["try", "changes"] {
            then[key] = then[key].clone();
        }
        assert_eq!(same, then);
    }
    assert!(advised > 0, "{then:?}");
}

fn count(mesh: &Value, of: &str) -> usize {
    mesh[of].as_u64().unwrap() as usize
}

#[test]
fn a_stopped_question_lets_the_next_one_pass() {
    let first = json!({ "kind": "slow", "answers": {}, "window": "stopping", "number": 1 }).to_string();
    let slow = std::thread::spawn(move || send("POST /answer", &[], &first));
    stage(None, Stage::AtWork);
    let stop = json!({ "window": "stopping", "number": 2 }).to_string();
    assert_eq!(send("POST /stop", &[], &stop).0, 200);
    let next =
        json!({ "kind": "sleeve", "answers": { "bearing": "6204" }, "window": "stopping", "number": 3 });
    let (status, _, body) = send("POST /answer", &[], &next.to_string());
    assert_eq!((status, words(&body)["report"]["part"].as_str()), (200, Some("sleeve")));
    assert!(!slow.is_finished(), "the first is still at work");
    stage(Some(Stage::LetGo), Stage::LetGo);
    assert_eq!(slow.join().unwrap().0, 204, "nobody waits for it");
}

#[test]
fn readings_begin_only_what_a_part_would_take() {
    let asked = |readings: Value| {
        let (status, _, body) = send("POST /start", &[], &readings.to_string());
        assert_eq!(status, 200);
        serde_json::from_slice::<Value>(&body).unwrap()
    };
    let plate = |size: &str| json!({ "from": "hole", "across": ["60", ""], "cables": [{ "size": size }] });
    let begun = &asked(plate("8,2"))["choices"][0];
    assert_eq!((begun["kind"].as_str(), &begun["answers"]["cable"]), (Some("plate"), &json!(["8.2"])));
    for (readings, says) in [
        (plate("800"), "800"),
        (json!({ "from": "bearing", "stamp": "castle" }), "castle"),
        (json!({ "from": "bearing", "bore": "47", "outside": "20", "width": "14" }), "in that order"),
        (json!({ "from": "belt", "stamp": "3M", "style": "hanging", "pulleys": ["20", "30"] }), "hanging"),
        (json!({ "from": "bearing", "stamp": "a\u{202e}b", "work": "on-shaft" }), "bearing"),
    ] {
        let answer = asked(readings);
        assert!(answer["error"]["says"].as_str().unwrap().contains(says), "{answer}");
    }
}
