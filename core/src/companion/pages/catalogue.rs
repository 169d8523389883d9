//! The catalogue: the movements by pattern, muscle, kit and limit, and each with all that is said of it.

use super::Making;
use crate::catalogue::{Movement, ShareKind};
use crate::companion::Companion;
use crate::page::{Block, By, Spot, TableRow};

impl Companion {
    pub(super) fn catalogue_has(&self, spot: &Spot) -> bool {
        let c = &self.known.catalogue;
        match spot {
            Spot::Movement { id } => c.movement(id).is_some(),
            Spot::Group { by, id } => self.groups(*by).iter().any(|(group, _)| group == id),
            _ => true,
        }
    }

    pub(super) fn catalogue_page(&self, spot: &Spot) -> Making<'_> {
        match spot {
            Spot::Groups { by } => self.groups_page(*by),
            Spot::Group { by, id } => self.group_page(*by, id),
            Spot::Movement { id } => self.movement_page(id),
            _ => {
                let mut page = Making::new(&self.speech, self.speech.say("place-catalogue", &[]));
                let n = self.known.catalogue.movements.len();
                page.sentence(self.speech.say("pages-catalogue", &[("n", n.into())]));
                for by in [By::Pattern, By::Muscle, By::Kit, By::Limit] {
                    page.line(self.speech.say(by_key(by), &[]), Vec::new(), Spot::Groups { by });
                }
                page
            }
        }
    }

    /// Id and name of the groups that have a movement.
    fn groups(&self, by: By) -> Vec<(String, String)> {
        let (c, s) = (&self.known.catalogue, &self.speech);
        let all: Vec<(String, String)> = match by {
            By::Pattern => c.patterns.iter().map(|p| (p.id.clone(), s.pattern(&p.id))).collect(),
            By::Muscle => c.muscles.iter().map(|m| (m.id.clone(), s.muscle(&m.id))).collect(),
            By::Kit => c.equipment.iter().map(|e| (e.id.clone(), s.kit_item(&e.id))).collect(),
            By::Limit => c.regions.iter().map(|r| (r.id.clone(), s.region(&r.id))).collect(),
        };
        all.into_iter().filter(|(id, _)| self.in_group(by, id).next().is_some()).collect()
    }

    fn in_group<'a>(&'a self, by: By, id: &'a str) -> impl Iterator<Item = &'a Movement> {
        let c = &self.known.catalogue;
        c.movements.iter().filter(move |m| match by {
            By::Pattern => c.patterns.get(m.pattern).is_some_and(|p| p.id == id),
            By::Muscle => {
                let direct = m.trains.iter().filter(|t| t.share == ShareKind::Direct);
                direct.into_iter().any(|t| c.muscles.get(t.muscle).is_some_and(|g| g.id == id))
            }
            By::Kit => m.equipment.iter().flatten().any(|e| c.equipment.get(*e).is_some_and(|k| k.id == id)),
            By::Limit => c.region(id).is_some_and(|r| m.flag(r) == 0),
        })
    }

    fn groups_page(&self, by: By) -> Making<'_> {
        let mut page = Making::new(&self.speech, self.speech.say(by_key(by), &[]));
        for (id, name) in self.groups(by) {
            let n = self.in_group(by, &id).count();
            let more = vec![self.speech.say("pages-movements", &[("n", n.into())])];
            page.line(name, more, Spot::Group { by, id });
        }
        page
    }

    fn group_page(&self, by: By, id: &str) -> Making<'_> {
        let name = self.groups(by).into_iter().find(|(group, _)| group == id).map(|(_, name)| name);
        let name = name.unwrap_or_default();
        let title = match by {
            By::Limit => self.speech.say("pages-sparing", &[("region", (&name).into())]),
            _ => name,
        };
        let mut page = Making::new(&self.speech, title);
        for m in self.in_group(by, id) {
            let pattern = self.known.catalogue.patterns.get(m.pattern).map(|p| self.speech.pattern(&p.id));
            let name = self.speech.movement_in(&self.known.catalogue, &m.id);
            page.line(name, pattern.into_iter().collect(), Spot::Movement { id: m.id.clone() });
        }
        page
    }

    fn movement_page(&self, id: &str) -> Making<'_> {
        let (c, s) = (&self.known.catalogue, &self.speech);
        let mut page = Making::new(s, s.movement_in(c, id));
        let Some(m) = c.movement(id) else { return page };
        let texts = &self.shelf.texts;
        page.caution(s.cautions(texts, id));
        let mut said: Vec<(&str, String)> = Vec::new();
        if let Some(p) = c.patterns.get(m.pattern) {
            said.push(("page-pattern", s.pattern(&p.id)));
        }
        said.push(("page-joints", s.english(&m.joint_actions.join(", "))));
        said.push(("page-kit", s.ways(c, m, false)));
        said.push(("page-asks", s.asks_of(c, m)));
        if let Some(bail_out) = s.bail_out(texts, id) {
            said.push(("page-bail-out", bail_out));
        }
        if let Some(text) = texts.of(id) {
            said.push(("page-set-up", s.english(&text.set_up)));
            said.extend(text.cues.iter().map(|cue| ("page-cue", s.english(cue))));
            let fault = |f: &crate::catalogue::CommonFault| s.english(&format!("{} - {}", f.fault, f.remedy));
            said.extend(text.faults.iter().map(|f| ("page-fault", fault(f))));
            said.push(("page-range", s.english(&text.range)));
            said.push(("page-breathing", s.english(&text.breathing)));
            said.push(("page-easier", s.english(&text.easier)));
            said.push(("page-harder", s.english(&text.harder)));
            said.push(("page-source", text.source.clone()));
        }
        for (key, text) in said {
            let what = s.say(key, &[]);
            page.sentence(s.say("pages-labelled", &[("what", (&what).into()), ("text", (&text).into())]));
        }
        let rows = m.trains.iter().filter_map(|t| {
            let (mut why, mut source) = (t.reason.clone(), t.source.clone());
            if let Some((second, from)) = &t.second {
                why = format!("{why}; {second}");
                source = format!("{source}; {from}");
            }
            let muscle = s.muscle(&c.muscles.get(t.muscle)?.id);
            Some(TableRow { cells: vec![muscle, s.share(t.share), s.english(&why), source] })
        });
        page.blocks.push(Block::Table {
            caption: s.say("head-trains", &[]),
            heads: ["head-muscle", "pages-share", "head-why", "head-source"].map(|k| s.say(k, &[])).to_vec(),
            rows: rows.collect(),
        });
        page.heading("head-stand-in");
        for stand_in in c.find(id).into_iter().flat_map(|m| c.stand_ins_of(m)) {
            let Some(to) = c.movements.get(stand_in.to) else { continue };
            let more = vec![s.occasion(c, stand_in.kind), s.english(&stand_in.reason)];
            page.line(s.movement_in(c, &to.id), more, Spot::Movement { id: to.id.clone() });
        }
        page
    }
}

const fn by_key(by: By) -> &'static str {
    match by {
        By::Pattern => "pages-by-pattern",
        By::Muscle => "pages-by-muscle",
        By::Kit => "pages-by-kit",
        By::Limit => "pages-by-limit",
    }
}
