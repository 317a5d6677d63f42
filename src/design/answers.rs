//! Every answer is used or refused: which answers of a request count only beside others.
//!
//! A kind lists its [`Condition`]s; an answer that no condition names always counts. Whether the lists are
//! true is proved in the tests by giving each answer and looking whether the design changes.

use crate::error::{Error, Result};
use serde::Serialize;

/// Answers that count only beside certain others.
pub struct Condition<R> {
    /// Their keys.
    pub keys: &'static [&'static str],
    /// Whether they count in a request.
    pub counts: fn(&R) -> bool,
    /// When they count, as it follows "only": `with --drive rod or puller`.
    pub when: &'static str,
}

/// Refuses a request with answers that nothing would come of, all of them at once.
pub fn refuse_unused<R: Serialize + Default>(request: &R, conditions: &[Condition<R>]) -> Result<()> {
    let keys = |request: &R| {
        serde_json::to_value(request).map_err(|e| Error::internal(format!("A request has no keys: {e}.")))
    };
    let (given, default) = (keys(request)?, keys(&R::default())?);
    let unused = conditions.iter().filter(|condition| !(condition.counts)(request)).flat_map(|condition| {
        let given = condition.keys.iter().filter(|key| given.get(key) != default.get(key));
        given.map(|key| {
            Error::request(
                format!("--{key} is given, but it counts only {}.", condition.when),
                format!("Leave --{key} out, or ask for the part {}.", condition.when),
            )
        })
    });
    Error::all(unused).map_or(Ok(()), Err)
}
