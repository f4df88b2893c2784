#ifndef RUNDLET_CORE_RULES_LIMIT_H_
#define RUNDLET_CORE_RULES_LIMIT_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "rundlet/rules/v1/limit.pb.h"

// A limit as a plain value, and how it meets a wine.
//
// The words for substances, colours and the like are the enums of the schema, where each is
// explained: limits are data, and have no second vocabulary here. Figures are whole numbers of the
// limit's unit (v1::UNIT_UG_PER_L: 150 mg/L is 150 000). Everything here is a value or a pure
// function, safe to share.
namespace rundlet::rules {

// The text that a limit stands in, and how it was seen.
struct Source {
  std::string title;
  v1::Mark mark = v1::MARK_UNSPECIFIED;
  std::string seen;       // the edition or page that was seen, where it is not the text in force
  std::string text_date;  // of that edition: YYYY-MM-DD, YYYY-MM or YYYY; empty where not known
  std::string address;    // empty where the text was not seen, or not at a public address
};

struct SugarBorder {
  int64_t sugar_ug_l = 0;
  bool itself = false;  // the border belongs to the class
};

struct SpecialClass {
  std::string id;
  std::string name;
};

// The wines that a limit is for; what is empty is for all.
struct Scope {
  std::vector<v1::Colour> colours;
  std::optional<SugarBorder> sugar_from;
  std::optional<SugarBorder> sugar_to;
  std::vector<v1::Style> styles;
  std::vector<v1::Fruit> fruits;
  std::vector<v1::Stage> stages;
  std::vector<v1::Scheme> schemes;
  std::optional<SpecialClass> special;
};

struct Limit {
  std::string id;                         // ours, lasting: "eu-so2-red-dry"
  std::string jurisdiction;               // as in a cellar's settings: "EU"
  std::vector<v1::Substance> substances;  // where several, the figure is for their sum
  v1::Basis basis = v1::BASIS_UNSPECIFIED;
  v1::Kind kind = v1::KIND_UNSPECIFIED;
  int64_t value = 0;
  v1::Unit unit = v1::UNIT_UNSPECIFIED;
  std::string counted_as;       // "copper", "tartaric acid"; empty where plain
  bool value_excluded = false;  // "less than" and "more than" in place of "at most" and "from"
  Scope scope;
  std::string condition;  // what the scope cannot say
  Source source;
  std::string article;
  std::string doubt;                    // why the figure may be wrong, beyond what the mark says
  std::vector<std::string> instead_of;  // ids that give way where this one applies too
  std::string review_on;                // YYYY-MM-DD
};

// True when a sum of doses or a reading, in the limit's unit, is past the limit: over a ceiling,
// under a floor, any at all of what is forbidden, or where a statement is owed. Never for what has
// no figure of its own (allowed, raise, cut).
bool Crosses(const Limit& limit, int64_t value);

// What is known of a wine. What is empty is not known; it is never guessed.
struct WineClass {
  std::optional<v1::Colour> colour;
  std::optional<int64_t> sugar_ug_l;  // residual, as glucose and fructose: 5 g/L is 5 000 000
  std::optional<v1::Style> style;
  std::optional<v1::Fruit> fruit;
  std::optional<v1::Stage> stage;
  std::optional<v1::Scheme> scheme;
  std::vector<std::string> special;  // ids of special classes that the person says it is in
};

// What must be known of a wine before a limit can be said to apply to it.
enum class Missing { kColour, kSugar, kStyle, kFruit, kStage, kScheme, kSpecialClass };

// Whether a limit is for a wine: it is not, it may be (something is missing), or it is.
struct Fit {
  bool possible = false;
  std::vector<Missing> missing;  // in the order of the enum; only where possible

  bool applies() const { return possible && missing.empty(); }
};

// A special class that the person has not named counts as missing, not as denied.
Fit FitOf(const Scope& scope, const WineClass& wine);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LIMIT_H_
