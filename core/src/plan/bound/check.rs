//! What an instance must satisfy for the bound to be computed: sizes, signs and magnitudes.

use crate::plan::model::Instance;

/// Prices beyond this many points would overflow no sum, but lose the bound's precision.
const PRICE_MAX: i32 = 2_000_000;
/// Seconds, half-sets and other counts.
const COUNT_MAX: i32 = 100_000;

/// True when every index is in range, every limit allows the empty day, and no number is out of scale.
pub(super) fn is_sound(instance: &Instance) -> bool {
    let i = instance;
    let count = |x: i32| (0..=COUNT_MAX).contains(&x);
    let price = |x: i32| (0..=PRICE_MAX).contains(&x);
    let signed = |x: i32| (-PRICE_MAX..=PRICE_MAX).contains(&x);
    let p = &i.prices;
    let days = !i.days.is_empty()
        && i.days.len() <= 14
        && i.days.iter().all(|d| {
            [d.time_s, d.axial_max, d.fatigue_max, d.grip_max].into_iter().all(count)
                && (0..=30).contains(&d.movements_max)
                && (0..=100).contains(&d.movements_wanted)
                && (0..=30).contains(&d.single_joint_max)
                && (0..=30).contains(&d.trunk_max)
        });
    let near = i.near.iter().all(|n| n.first < n.second && n.second < i.days.len());
    let muscles = i.muscles.iter().all(|m| {
        [m.minimum, m.target, m.maximum, m.session_cap].into_iter().all(count)
            && [m.below_minimum, m.below_target, m.above_maximum].into_iter().all(price)
            && (0..=100).contains(&m.days_wanted)
            && (-COUNT_MAX..=COUNT_MAX).contains(&m.day_threshold)
    });
    let groups = i.groups.iter().all(|g| (0..=1000).contains(&g.exposures_wanted));
    let patterns = i.patterns.iter().all(|g| count(g.per_session_max));
    let movements = i.movements.iter().all(|m| {
        let shares = m.trains.iter().enumerate().all(|(k, t)| {
            t.muscle < i.muscles.len()
                && (0..=1000).contains(&t.half_sets)
                && m.trains[..k].iter().all(|u| u.muscle != t.muscle)
        });
        shares
            && count(m.set_s)
            && count(m.fixed_s)
            && (1..=100).contains(&m.sets_min)
            && (m.sets_min..=100).contains(&m.sets_max)
            && m.pattern < i.patterns.len()
            && m.group.is_none_or(|g| g < i.groups.len())
            && [m.axial, m.fatigue, m.grip].into_iter().all(|x| (0..=1000).contains(&x))
            && [m.set_price, m.session_price, m.use_price].into_iter().all(signed)
            && price(m.exposure_price)
            && count(m.exposures_wanted)
            && count(m.exposures_max)
            && (m.pair_class.slot().is_none() || p.pair_saves_s <= m.set_s)
    });
    let prices = [
        p.group_missing,
        p.day_missing,
        p.near_muscle,
        p.near_axial,
        p.near_heavy,
        p.longest,
        p.few_movements,
        p.no_carrying,
        p.push_pull,
    ]
    .into_iter()
    .all(price);
    days && near && muscles && groups && patterns && movements && prices && count(p.pair_saves_s)
}
