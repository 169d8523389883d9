//! Why a load is proposed.

use crate::progress::next::{Because, Held, Proposal};
use crate::words::{Arg, Speech};

/// Why a load is proposed, in one or two sentences.
pub fn because(speech: &Speech, p: &Proposal) -> String {
    let last = speech.mass(&p.last);
    let day = speech.date(p.last_day);
    let base: [(&str, Arg<'_>); 2] = [("load", Arg::Text(&last)), ("day", Arg::Text(&day))];
    let with = |key: &str, more: &[(&str, Arg<'_>)]| {
        let mut args = base.to_vec();
        args.extend_from_slice(more);
        speech.say(key, &args)
    };
    let mut out = match &p.because {
        Because::Away { days, less_per_mille } => {
            with("next-away", &[("days", (*days).into()), ("percent", (less_per_mille / 10).into())])
        }
        Because::DeloadByPlan => with("next-deload-plan", &[]),
        Because::DeloadTired { sessions } => with("next-deload-tired", &[("sessions", (*sessions).into())]),
        Because::DeloadAfterReset { days } => with("next-deload-reset", &[("days", (*days).into())]),
        Because::Reset { fewest, less_per_mille } => with(
            "next-reset",
            &[
                ("newer", fewest[0].into()),
                ("older", fewest[1].into()),
                ("percent", (less_per_mille / 10).into()),
            ],
        ),
        Because::BelowOnce { fewest } => with("next-below-once", &[("fewest", (*fewest).into())]),
        Because::OverTwice { over } => with("next-over-twice", &[("over", (*over).into())]),
        Because::TopReached => with("next-top", &[]),
        Because::TopTwice => with("next-top-twice", &[]),
        Because::ReserveAbove { by } => with("next-reserve-above", &[("by", (*by).into())]),
        Because::ReserveBelow { by } => with("next-reserve-below", &[("by", (*by).into())]),
        Because::MoreRepetitions => with("next-more", &[]),
    };
    for held in &p.held {
        out.push(' ');
        out.push_str(&self::held(speech, held));
    }
    out
}

fn held(speech: &Speech, held: &Held) -> String {
    match held {
        Held::KitStep { next, per_mille } => {
            let (next, percent) = (speech.mass(next), per_mille / 10);
            speech.say("next-held-step", &[("next", (&next).into()), ("percent", percent.into())])
        }
        Held::KitTop => speech.say("next-held-top", &[]),
        Held::KitLightest => speech.say("next-held-lightest", &[]),
        Held::KitLacks { wanted } => {
            let wanted = speech.mass(wanted);
            speech.say("next-held-lacks", &[("wanted", (&wanted).into())])
        }
        Held::NoRise => speech.say("next-held-no-rise", &[]),
        Held::BeginnerStep { step } => {
            let step = speech.mass(step);
            speech.say("next-held-beginner", &[("step", (&step).into())])
        }
    }
}
