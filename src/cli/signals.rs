//! What ends a run from outside: an interrupt, a request to terminate, a terminal that is gone.
//!
//! The run ends at once but for a folder's change, which is completed first (`output::write`), with
//! exit code 128 + the signal's number, as shells count. A signal that whoever started the run had ignored
//! (`nohup`) stays ignored.

use crate::output::write;
use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether an interrupt is how a run usually ends, as with a server.
static USUAL: AtomicBool = AtomicBool::new(false);

/// From here on an interrupt is no trouble: the run then ends with exit code 0.
pub fn end_is_usual() {
    USUAL.store(true, Ordering::Relaxed);
}

/// Begins to heed signals.
#[cfg(unix)]
pub fn heed() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let heeded = [SIGINT, SIGTERM, SIGHUP].into_iter().filter(|&signal| !is_ignored(signal));
    // Without signals to heed the system's own way of ending stays.
    if let Ok(mut signals) = signal_hook::iterator::Signals::new(heeded) {
        std::thread::spawn(move || {
            if let Some(signal) = signals.forever().next() {
                end(128 + signal);
            }
        });
    }
}

#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    // SAFETY: with no new action the call only fills in the present one; all noughts is a sound value of it.
    unsafe {
        let mut now: libc::sigaction = std::mem::zeroed();
        libc::sigaction(signal, std::ptr::null(), &mut now) == 0 && now.sa_sigaction == libc::SIG_IGN
    }
}

/// Begins to heed the console's events.
#[cfg(not(unix))]
pub fn heed() {
    let _ = ctrlc::set_handler(|| end(130));
}

fn end(code: i32) {
    let usual = USUAL.load(Ordering::Relaxed);
    let code = if usual { 0 } else { code };
    let says: &[u8] = match write::end() {
        _ if usual => b"The page is closed.\n",
        true => b"Interrupted; the files had been written.\n",
        false => b"Interrupted; no file was changed.\n",
    };
    let _ = anstream::stderr().write_all(says);
    std::process::exit(code);
}
