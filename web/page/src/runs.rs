//! Many pictures put in order: by their own time, and in runs that were taken in one go.

use garboard_protocol::Looked;

use crate::moment::Moment;

/// After a pause of so many minutes the next picture begins a new run: whoever works in one place shoots more often.
const PAUSE_MINUTES: i32 = 30;

/// Pictures that were taken in one go.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Run {
    /// The time of the first, as it stands in the picture; blank where they have none.
    pub(crate) first: String,
    /// The time of the last.
    pub(crate) last: String,
    /// Which pictures, in order.
    pub(crate) pictures: Vec<usize>,
    /// The id of the place that they go to; blank for where the person works.
    pub(crate) place: String,
}

/// Puts pictures in order and in runs; those without a time of their own come last, in a run of theirs. What is no
/// picture is left out.
pub(crate) fn runs(looked: &[Looked], place: &str) -> Vec<Run> {
    let mut order: Vec<(&str, usize)> = looked
        .iter()
        .enumerate()
        .filter(|(_, one)| one.refused.is_empty())
        .map(|(idx, one)| (wall_clock(&one.taken), idx))
        .collect();
    order.sort_by_key(|(time, idx)| (time.is_empty(), *time, *idx));
    let mut runs: Vec<Run> = Vec::new();
    for (time, idx) in order {
        match runs.last_mut() {
            Some(run) if goes_on(&run.last, time) => {
                run.pictures.push(idx);
                time.clone_into(&mut run.last);
            }
            _ => runs.push(Run {
                first: time.to_owned(),
                last: time.to_owned(),
                pictures: vec![idx],
                place: place.to_owned(),
            }),
        }
    }
    runs
}

/// Begins a new run with the picture that stands at `at` in a run, so that it can go to another place.
pub(crate) fn split(runs: &mut Vec<Run>, run_idx: usize, at: usize, looked: &[Looked]) {
    let Some(run) = runs.get_mut(run_idx) else {
        return;
    };
    if at == 0 || at >= run.pictures.len() {
        return;
    }
    let time = |idx: Option<&usize>| {
        idx.and_then(|idx| looked.get(*idx))
            .map(|one| wall_clock(&one.taken).to_owned())
            .unwrap_or_default()
    };
    let rest = run.pictures.split_off(at);
    let after = Run {
        first: time(rest.first()),
        last: std::mem::replace(&mut run.last, time(run.pictures.last())),
        pictures: rest,
        place: run.place.clone(),
    };
    runs.insert(run_idx + 1, after);
}

/// The time as the camera's clock showed it, without its zone: `2026-05-09T14:22:00`.
fn wall_clock(taken: &str) -> &str {
    taken.get(..19).unwrap_or(taken)
}

fn goes_on(last: &str, next: &str) -> bool {
    if last.is_empty() || next.is_empty() {
        return last.is_empty() && next.is_empty();
    }
    let minutes = |text: &str| {
        let moment = Moment::read(text)?;
        let (hour, minute) = moment.time?;
        Some((moment.date_text(), i32::from(hour) * 60 + i32::from(minute)))
    };
    match (minutes(last), minutes(next)) {
        (Some((day, from)), Some((other, to))) => day == other && to - from <= PAUSE_MINUTES,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use garboard_protocol::Looked;

    use super::{Run, runs, split};

    fn taken(times: &[&str]) -> Vec<Looked> {
        times
            .iter()
            .map(|time| Looked {
                taken: (*time).to_owned(),
                ..Looked::default()
            })
            .collect()
    }

    fn numbers(runs: &[Run]) -> Vec<Vec<usize>> {
        runs.iter().map(|run| run.pictures.clone()).collect()
    }

    #[test]
    fn pictures_of_one_go_stand_together_in_the_order_of_their_own_time() {
        let looked = taken(&[
            "2026-05-09T14:50:00",
            "",
            "2026-05-09T14:22:00+02:00",
            "2026-05-09T15:21:00",
            "2026-05-10T15:22:00",
            "",
        ]);
        assert_eq!(
            numbers(&runs(&looked, "")),
            [vec![2, 0], vec![3], vec![4], vec![1, 5]]
        );
    }

    #[test]
    fn what_is_no_picture_is_in_no_run() {
        let mut looked = taken(&["2026-05-09T14:50:00", "2026-05-09T14:51:00"]);
        looked[0].refused = "it is no picture".to_owned();
        assert_eq!(numbers(&runs(&looked, "")), [vec![1]]);
        assert!(runs(&[], "").is_empty());
    }

    #[test]
    fn a_run_is_split_where_the_place_changed() {
        let looked = taken(&[
            "2026-05-09T14:00:00",
            "2026-05-09T14:05:00",
            "2026-05-09T14:10:00",
        ]);
        let mut all = runs(&looked, "deck");
        split(&mut all, 0, 2, &looked);
        assert_eq!(numbers(&all), [vec![0, 1], vec![2]]);
        assert_eq!(
            (&*all[0].last, &*all[1].first),
            ("2026-05-09T14:05:00", "2026-05-09T14:10:00")
        );
        assert_eq!(all[1].place, "deck");
        split(&mut all, 0, 0, &looked);
        split(&mut all, 9, 1, &looked);
        assert_eq!(all.len(), 2);
    }
}
