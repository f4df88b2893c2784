#include "core/rules/quote.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

// "casein and milk together", as the figure is for their sum.
std::string SubstanceText(const Limit& limit) {
  std::string text = absl::StrJoin(limit.substances, ", ", [](std::string* out, v1::Substance s) {
    const absl::string_view name = Name(s);
    out->append(name.data(), name.size());
  });
  const bool summed = limit.substances.size() > 1 && limit.kind != v1::KIND_ALLOWED &&
                      limit.kind != v1::KIND_FORBIDDEN;
  if (summed) absl::StrAppend(&text, " together");
  const bool plain = limit.counted_as.empty() || limit.counted_as == text;
  if (!plain) absl::StrAppend(&text, " (as ", limit.counted_as, ")");
  return text;
}

std::string FigureOf(const Limit& limit) {
  const std::string figure = FigureText(limit.value, limit.unit);
  const std::string substance = SubstanceText(limit);
  const std::string what =
      limit.unit == v1::UNIT_MILLIPH
          ? figure
          : absl::StrCat(figure, " of ", substance,
                         limit.basis == v1::BASIS_ADDED ? ", added in all" : " in the wine");
  switch (limit.kind) {
    case v1::KIND_CEILING:
      return absl::StrCat(limit.value_excluded ? "less than " : "at most ", what);
    case v1::KIND_FLOOR:
      return absl::StrCat(limit.value_excluded ? "more than " : "at least ", what);
    case v1::KIND_RAISE:
      return absl::StrCat("an authority may raise the ceiling of ", substance, " by ", figure);
    case v1::KIND_CUT:
      return absl::StrCat("the ceiling of ", substance, " is lower by ", figure);
    case v1::KIND_ALLOWED:
      return absl::StrCat("allowed, without a figure: ", substance);
    case v1::KIND_FORBIDDEN:
      return absl::StrCat("not allowed: ", substance);
    case v1::KIND_STATEMENT:
      return absl::StrCat("the label owes a statement ", limit.value_excluded ? "above " : "from ",
                          what);
    default:
      return what;
  }
}

std::string Standing(const Source& source) {
  switch (source.mark) {
    case v1::MARK_READ:
      return source.seen;
    case v1::MARK_READ_OLDER:
      return absl::StrCat("from an older edition (", source.seen, ")");
    case v1::MARK_READ_PREDECESSOR:
      return absl::StrCat("from the text that it replaced (", source.seen, ")");
    case v1::MARK_READ_SECONDARY:
      return absl::StrCat("second hand (", source.seen, ")");
    default:
      return "from memory: check it before you rely on it";
  }
}

}  // namespace

Quote QuoteOf(const Limit& limit) {
  std::string caveat = Standing(limit.source);
  if (!limit.doubt.empty()) {
    absl::StrAppend(&caveat, caveat.empty() ? "" : "; ", "in doubt: ", limit.doubt);
  }
  return {.name = absl::StrCat(limit.jurisdiction, ", ", ScopeText(limit.scope)),
          .figure = FigureOf(limit),
          .condition = limit.condition,
          .citation = limit.article.empty() ? limit.source.title
                                            : absl::StrCat(limit.source.title, ", ", limit.article),
          .caveat = std::move(caveat)};
}

std::string QuoteLine(const Limit& limit) {
  const Quote quote = QuoteOf(limit);
  return absl::StrCat(quote.name, ": ", quote.figure, quote.condition.empty() ? "" : "; ",
                      quote.condition, " (", quote.citation, quote.caveat.empty() ? "" : "; ",
                      quote.caveat, ")");
}

}  // namespace rundlet::rules
