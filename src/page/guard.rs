//! Whose requests are answered: those of this page alone.
//!
//! Every site that the browser shows can send requests to this machine. So the server answers its own host
//! name only (another name that leads here is a rebinding), only requests that the browser says come from
//! its own page, and only with a secret that another site cannot read: a random token in the first address,
//! then a cookie that stays with this site and that no script sees.

use crate::error::{Error, Result};

/// The one who looks at every request before anything else does.
pub struct Guard {
    host: String,
    origin: String,
    token: String,
    cookie: String,
}

/// What becomes of a request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is answered.
    Answer,
    /// It brought the token: the page's own address follows, with this cookie.
    Enter(String),
    /// It is refused with this status and these words.
    Refuse(u16, &'static str),
}

/// A request's line and head.
pub struct Head<'a> {
    /// `GET`, `POST`.
    pub method: &'a str,
    /// What stands behind the host.
    pub target: &'a str,
    /// Names and values.
    pub fields: Vec<(&'a str, &'a str)>,
}

impl<'a> Head<'a> {
    fn all(&self, name: &'a str) -> impl Iterator<Item = &'a str> + '_ {
        self.fields.iter().filter(move |(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, value)| *value)
    }

    /// The field's value where it stands there exactly once.
    pub fn one(&self, name: &'a str) -> Option<&'a str> {
        let mut values = self.all(name);
        let first = values.next()?;
        values.next().is_none().then_some(first)
    }
}

fn secret() -> Result<String> {
    let mut bytes = [0u8; 24];
    getrandom::fill(&mut bytes)
        .map_err(|e| Error::internal(format!("The system gave no random numbers: {e}.")))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Compares in a time that does not tell how much of it was right.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.bytes().zip(b.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b)) == 0
}

impl Guard {
    /// A guard of the server at that port of 127.0.0.1.
    pub fn at(port: u16) -> Result<Self> {
        let host = format!("127.0.0.1:{port}");
        Ok(Self { origin: format!("http://{host}"), host, token: secret()?, cookie: secret()? })
    }

    /// The address that lets a browser in.
    pub fn address(&self) -> String {
        format!("{}/?token={}", self.origin, self.token)
    }

    /// Ports of one host share their cookies, so the port is in the name.
    fn cookie_name(&self) -> String {
        format!("fixwright-{}", self.host.rsplit(':').next().unwrap_or_default())
    }

    /// What becomes of a request.
    pub fn judge(&self, head: &Head) -> Verdict {
        if head.one("Host") != Some(&self.host) {
            return Verdict::Refuse(421, "This server answers under its own address only.");
        }
        let posts = match head.method {
            "GET" => false,
            "POST" => true,
            _ => return Verdict::Refuse(405, "Only GET and POST are answered."),
        };
        let mut origins = head.all("Origin").peekable();
        if posts && origins.peek().is_none() || origins.any(|origin| origin != self.origin) {
            return Verdict::Refuse(403, "The request comes from another site.");
        }
        let from_here = |site: &str| site == "same-origin" || (site == "none" && !posts);
        if !head.all("Sec-Fetch-Site").all(from_here) {
            return Verdict::Refuse(403, "The request comes from another site.");
        }
        if let Some(token) = head.target.strip_prefix("/?token=") {
            return match !posts && same(token, &self.token) {
                true => Verdict::Enter(format!(
                    "{}={}; Path=/; HttpOnly; SameSite=Strict",
                    self.cookie_name(),
                    self.cookie
                )),
                false => Verdict::Refuse(403, "The token is not this server's. Use the address it printed."),
            };
        }
        let name = self.cookie_name();
        let ours = |pair: &str| {
            pair.trim().split_once('=').is_some_and(|(n, value)| n == name && same(value, &self.cookie))
        };
        match head.all("Cookie").any(|cookies| cookies.split(';').any(ours)) {
            true => Verdict::Answer,
            false => Verdict::Refuse(403, "Open the address that fixwright page printed, with its token."),
        }
    }
}
