//! What the host counts of itself, in the text form of Prometheus. No account, device or content is told apart.

use std::fmt::Write;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// The upper ends of the times of answers, milliseconds.
const WITHIN_MS: [u64; 6] = [5, 25, 100, 500, 2_500, 10_000];

/// The routes whose requests are told apart.
const ROUTES: [&str; 9] =
    ["sync", "pair", "token", "devices", "lifters", "audit", "openapi", "healthz", "other"];

/// Counters; each only grows.
#[derive(Debug, Default)]
pub struct Counts {
    requests: [[AtomicU64; 4]; ROUTES.len()],
    within: [AtomicU64; WITHIN_MS.len()],
    answered: AtomicU64,
    micros: AtomicU64,
    /// Connections that were accepted.
    pub connections: AtomicU64,
    /// Connections that were refused, because too many are open.
    pub turned_away: AtomicU64,
    /// Entries taken.
    pub taken: AtomicU64,
    /// Entries refused.
    pub refused: AtomicU64,
    /// Backups that were made as they were due.
    pub backups_made: AtomicU64,
    /// Backups that failed.
    pub backups_failed: AtomicU64,
    /// When the newest sound backup was made, seconds since 1970; 0 while there is none.
    pub backup_s: AtomicU64,
}

/// One more.
pub(super) fn one(counter: &AtomicU64) {
    more(counter, 1);
}

/// So many more.
pub(super) fn more(counter: &AtomicU64, by: usize) {
    counter.fetch_add(by as u64, Ordering::Relaxed);
}

impl Counts {
    /// Counts a request that was answered.
    pub(super) fn answered(&self, path: &str, status: u16, took: Duration) {
        let name = path
            .trim_start_matches("/v1")
            .trim_start_matches('/')
            .split(['/', '.'])
            .next()
            .unwrap_or_default();
        let route = ROUTES.iter().position(|r| *r == name).unwrap_or(ROUTES.len() - 1);
        let class = usize::from(status / 100).clamp(2, 5) - 2;
        if let Some(counter) = self.requests.get(route).and_then(|r| r.get(class)) {
            one(counter);
        }
        one(&self.answered);
        self.micros.fetch_add(u64::try_from(took.as_micros()).unwrap_or(u64::MAX), Ordering::Relaxed);
        for (counter, end) in self.within.iter().zip(WITHIN_MS) {
            if took.as_millis() <= u128::from(end) {
                one(counter);
            }
        }
    }

    /// All of it as text.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let read = |c: &AtomicU64| c.load(Ordering::Relaxed);
        // Writing to a string does not fail.
        let mut line = |text: std::fmt::Arguments<'_>| {
            let _ = out.write_fmt(text);
            out.push('\n');
        };
        line(format_args!("# HELP plinth_requests_total Requests answered, by route and class of status."));
        line(format_args!("# TYPE plinth_requests_total counter"));
        for (route, classes) in ROUTES.iter().zip(&self.requests) {
            for (class, counter) in (2..).zip(classes) {
                line(format_args!(
                    "plinth_requests_total{{route=\"{route}\",status=\"{class}xx\"}} {}",
                    read(counter)
                ));
            }
        }
        line(format_args!("# HELP plinth_answer_seconds Time to an answer."));
        line(format_args!("# TYPE plinth_answer_seconds histogram"));
        for (counter, end) in self.within.iter().zip(WITHIN_MS) {
            let end = end as f64 / 1000.0;
            line(format_args!("plinth_answer_seconds_bucket{{le=\"{end}\"}} {}", read(counter)));
        }
        let answered = read(&self.answered);
        line(format_args!("plinth_answer_seconds_bucket{{le=\"+Inf\"}} {answered}"));
        line(format_args!("plinth_answer_seconds_sum {}", read(&self.micros) as f64 / 1e6));
        line(format_args!("plinth_answer_seconds_count {answered}"));
        for (name, help, counter) in [
            ("plinth_connections_total", "Connections accepted.", &self.connections),
            (
                "plinth_connections_turned_away_total",
                "Connections refused while too many were open.",
                &self.turned_away,
            ),
            ("plinth_entries_taken_total", "Pushed entries that were taken.", &self.taken),
            ("plinth_entries_refused_total", "Pushed entries that were refused.", &self.refused),
            ("plinth_backups_made_total", "Backups made as they were due.", &self.backups_made),
            ("plinth_backups_failed_total", "Backups that failed.", &self.backups_failed),
        ] {
            line(format_args!("# HELP {name} {help}"));
            line(format_args!("# TYPE {name} counter"));
            line(format_args!("{name} {}", read(counter)));
        }
        line(format_args!(
            "# HELP plinth_backup_seconds When the newest backup was made, since 1970; 0: none."
        ));
        line(format_args!("# TYPE plinth_backup_seconds gauge"));
        line(format_args!("plinth_backup_seconds {}", read(&self.backup_s)));
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn requests_are_counted_by_route_and_nothing_else() {
        let counts = Counts::default();
        counts.answered("/v1/sync", 200, Duration::from_millis(20));
        counts.answered("/v1/lifters/anna/record", 403, Duration::from_millis(1));
        counts.answered("/../etc/passwd", 404, Duration::from_mins(1));
        let text = counts.text();
        assert!(text.contains("plinth_requests_total{route=\"sync\",status=\"2xx\"} 1\n"), "{text}");
        assert!(text.contains("plinth_requests_total{route=\"lifters\",status=\"4xx\"} 1\n"));
        assert!(text.contains("plinth_requests_total{route=\"other\",status=\"4xx\"} 1\n"));
        assert!(text.contains("plinth_answer_seconds_bucket{le=\"0.025\"} 2\n"));
        assert!(text.contains("plinth_answer_seconds_count 3\n"));
        assert!(!text.contains("anna") && !text.contains("passwd"));
    }
}
