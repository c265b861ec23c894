//! Questions of learners and of who teaches them: what plans are worth against an exercise.

use super::host::Host;
use super::task::Answer;
use crate::plan::Plan;
use crate::teach::{Grade, GradeError, GradeSearch, SaidGrade, grade_row};

/// What the plan is worth against the exercise that it carries.
pub(super) async fn grade(plan: &Plan, host: &dyn Host) {
    let graded = match search(plan, host).await {
        Ok(None) => return,
        Ok(Some(graded)) => Ok(graded),
        Err(error) => Err(error.to_string()),
    };
    host.say(Answer::Graded(Box::new(graded)));
}

/// The grade; none where whoever asked has stopped it.
async fn search(plan: &Plan, host: &dyn Host) -> Result<Option<(Grade, SaidGrade)>, GradeError> {
    let exercise = plan.as_set().ok_or(GradeError::NoExercise)?;
    let mut search = GradeSearch::new(&exercise, plan)?;
    while !search.go(1) {
        let (done, of) = search.progress();
        host.say(Answer::Progress(done as u64, of as u64));
        if !host.goes_on().await {
            return Ok(None);
        }
    }
    let grade = search.finish();
    let said = SaidGrade::of(&exercise, plan, &grade)?;
    Ok(Some((grade, said)))
}

/// What many solutions are worth, one after the other.
pub(super) async fn grade_all(plan: &Plan, texts: &[String], host: &dyn Host) {
    let exercise = plan.as_set();
    for (at, text) in texts.iter().enumerate() {
        let row = exercise.as_ref().ok_or(GradeError::NoExercise);
        let row = row.and_then(|exercise| grade_row(exercise, text));
        let row = row.map_err(|error| error.to_string());
        host.say(Answer::GradedNext(Box::new(row)));
        host.say(Answer::Progress(at as u64 + 1, texts.len() as u64));
        if !host.goes_on().await {
            return;
        }
    }
    host.say(Answer::GradedAll);
}
