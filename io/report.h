// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/chapter.h"
#include "io/plan_file.h"
#include "io/rain_file.h"
#include "solver/at_rest.h"
#include "solver/findings.h"
#include "solver/run.h"
#include "solver/studies/faults_study.h"
#include "solver/studies/isolate_study.h"
#include "solver/studies/link_study.h"
#include "solver/studies/pump_reach.h"
#include "solver/studies/pump_set_points.h"
#include "solver/studies/season_study.h"
#include "solver/studies/vent_study.h"

namespace tankyard {

/// Answers for people, in so many columns of a terminal: the answer itself first, in a sentence or
/// two, then findings worst first, then tables, then what was taken for granted.

/// What studies say of the pumps of a plan; empty without pumps.
struct PumpStudies {
  std::vector<Reach> reaches;
  std::vector<SetPoint> set_points;
};
Chapter reach_chapter(const Plan& plan, const std::vector<Reach>& reaches);
Chapter set_points_chapter(const Plan& plan, const std::vector<SetPoint>& points);

/// `dry_spell`: none without `[[use]]` entries.
std::string check_text(const Plan& plan, const AtRest& at_rest,
                       const std::vector<Finding>& findings, int columns,
                       const std::optional<DrySpell>& dry_spell = std::nullopt,
                       const PumpStudies& pumps = {});

std::string run_text(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings, bool with_events, int columns,
                     const std::vector<Reach>& reaches = {});

/// What `run_text` is made of: "from 05:00 for 24 h, with 2 notes", then the answer in sentences,
/// then every table.
std::string run_span(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings);
std::string run_answer(const RunRecord& record);
std::vector<Chapter> run_chapters(const Plan& plan, const RunRecord& record,
                                  const std::vector<Reach>& reaches = {});
Chapter pumps_chapter(const Plan& plan, const RunRecord& record);  ///< of it, empty without pumps

/// Which lids to drill first of all, and what to mind before that last.
std::string vent_text(const Plan& plan, const VentStudy& study,
                      const std::vector<Finding>& findings, int columns);

/// What `vent_text` is made of.
std::string vent_answer(const Plan& plan, const VentStudy& study);
std::vector<Chapter> vent_chapters(const Plan& plan, const VentStudy& study);

/// How tanks are taken out: the steps, each with its time, its reason and what the yard does
/// meanwhile; what it costs; what to mind.
std::string isolate_text(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings, int columns);

/// What `isolate_text` is made of, findings and what was taken for granted aside; the steps are a
/// table here.
std::string isolate_answer(const Plan& plan, const IsolateStudy& study);
std::vector<Chapter> isolate_chapters(const Plan& plan, const IsolateStudy& study);

/// One line a tank, for the wall. Requires: a study a tank, each of that tank alone.
std::string isolate_all_text(const Plan& plan, const std::vector<IsolateStudy>& studies,
                             const std::vector<Finding>& findings, int columns);

/// What to mind when a tank is taken out, sentences without full stop; shared with the sheet. All
/// are common practice, no source.
std::vector<std::string> isolate_cautions(const Plan& plan, const IsolateStudy& study);
/// Everything `tankyard season` answers.
struct SeasonAnswer {
  RainFile rain;
  MissingDays missing = MissingDays::dry;  ///< how its missing days were treated
  SeasonStudyOptions options;
  SeasonStudy study;
};

/// `every_month`: a row for each month instead of one for all Januaries, and so on.
std::string season_text(const Plan& plan, const SeasonAnswer& answer, bool every_month,
                        int columns);

/// What `season_text` is made of.
std::string season_answer(const Plan& plan, const SeasonAnswer& answer);
std::vector<Chapter> season_chapters(const Plan& plan, const SeasonAnswer& answer,
                                     bool every_month);

/// What each failure costs, and what to change.
std::string faults_text(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings, int columns);

/// What `faults_text` is made of.
std::string faults_answer(const Plan& plan, const FaultStudy& study);
std::vector<Chapter> faults_chapters(const Plan& plan, const FaultStudy& study);

/// Where and how to join one more tank, and what the other ways would do. `all`: every way.
std::string link_text(const Plan& plan, const LinkStudy& study, bool all, int columns);

/// What `link_text` is made of, but for the lines to put into the plan (io/link_words.h).
std::string link_answer(const Plan& plan, const LinkStudy& study);
std::vector<Chapter> link_chapters(const Plan& plan, const LinkStudy& study, bool all);

/// What a kind of finding means, why it matters, what to do.
std::string explain_text(const KindOfFinding& kind, int columns);

/// All kinds, a line or two each.
std::string kinds_text(const std::vector<KindOfFinding>& kinds, int columns);

/// The pieces that `check_text` and `run_text` share.
std::string count_of(const std::vector<Finding>& findings);  ///< "1 warning and 2 notes"
std::string findings_text(const Plan& plan, const std::vector<Finding>& findings, int columns);
Chapter assumed_chapter(const Plan& plan);
std::string assumed_text(const Plan& plan, int columns);
std::string heading(const std::string& title, int columns);  ///< after an empty line
int prose_columns(int columns);  ///< long lines of prose are hard to read on a wide terminal

}  // namespace tankyard
