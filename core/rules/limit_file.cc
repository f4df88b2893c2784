#include "core/rules/limit_file.h"

#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/rules/limit_check.h"

namespace rundlet::rules {
namespace {

using SourceMap = absl::flat_hash_map<std::string, Source>;

template <typename T>
std::vector<T> ListOf(const google::protobuf::RepeatedField<int>& from) {
  std::vector<T> list;
  list.reserve(static_cast<size_t>(from.size()));
  for (const int item : from) list.push_back(static_cast<T>(item));
  return list;
}

Scope ScopeOf(const v1::Scope& from) {
  Scope scope{.colours = ListOf<v1::Colour>(from.colours()),
              .styles = ListOf<v1::Style>(from.styles()),
              .fruits = ListOf<v1::Fruit>(from.fruits()),
              .stages = ListOf<v1::Stage>(from.stages()),
              .schemes = ListOf<v1::Scheme>(from.schemes())};
  const auto border = [](const v1::SugarBorder& b) {
    return SugarBorder{b.ug_per_l(), b.itself()};
  };
  if (from.has_sugar_from()) scope.sugar_from = border(from.sugar_from());
  if (from.has_sugar_to()) scope.sugar_to = border(from.sugar_to());
  if (from.has_special()) {
    scope.special = SpecialClass{from.special().id(), from.special().name()};
  }
  return scope;
}

Limit LimitOf(const v1::Limit& from, const v1::LimitFile& file, Source source) {
  return {.id = from.id(),
          .jurisdiction = file.jurisdiction(),
          .substances = ListOf<v1::Substance>(from.substances()),
          .basis = from.basis(),
          .kind = from.kind(),
          .value = from.value(),
          .unit = from.unit(),
          .counted_as = from.counted_as(),
          .value_excluded = from.value_excluded(),
          .scope = ScopeOf(from.scope()),
          .condition = from.condition(),
          .source = std::move(source),
          .article = from.article(),
          .doubt = from.doubt(),
          .instead_of = {from.instead_of().begin(), from.instead_of().end()},
          .review_on = file.review_on()};
}

absl::StatusOr<SourceMap> SourcesOf(const v1::LimitFile& file) {
  SourceMap sources;
  for (const v1::Source& from : file.sources()) {
    if (absl::Status whole = CheckSource(from); !whole.ok()) return whole;
    const Source source{from.title(), from.mark(), from.seen(), from.text_date(), from.address()};
    if (!sources.emplace(from.id(), source).second) {
      return absl::InvalidArgumentError(absl::StrCat("source ", from.id(), " is there twice"));
    }
  }
  return sources;
}

absl::StatusOr<std::vector<Limit>> LimitsOf(const v1::LimitFile& file) {
  absl::StatusOr<SourceMap> sources = SourcesOf(file);
  if (!sources.ok()) return sources.status();
  absl::flat_hash_set<std::string> used;
  std::vector<Limit> limits;
  for (const v1::Limit& from : file.limits()) {
    const auto source = sources->find(from.source());
    if (source == sources->end()) {
      return absl::InvalidArgumentError(
          absl::StrCat(from.id(), ": the file has no source '", from.source(), "'"));
    }
    used.insert(from.source());
    Limit limit = LimitOf(from, file, source->second);
    if (absl::Status whole = CheckLimit(limit); !whole.ok()) return whole;
    limits.push_back(std::move(limit));
  }
  for (const auto& [id, unused] : *sources) {
    if (!used.contains(id)) {
      return absl::InvalidArgumentError(absl::StrCat("source ", id, ": no limit cites it"));
    }
  }
  return limits;
}

}  // namespace

absl::StatusOr<std::vector<Limit>> ReadLimitFile(const DataFile& file) {
  v1::LimitFile parsed;
  if (absl::Status status = ReadMessage(file, parsed); !status.ok()) return status;
  const std::string name = absl::StrCat(absl::AsciiStrToLower(parsed.jurisdiction()), ".textproto");
  if (file.name != name) {
    return absl::InvalidArgumentError(
        absl::StrCat(file.name, " is of '", parsed.jurisdiction(), "': it must be called ", name));
  }
  absl::StatusOr<std::vector<Limit>> limits = LimitsOf(parsed);
  if (!limits.ok()) {
    return absl::InvalidArgumentError(absl::StrCat(file.name, ": ", limits.status().message()));
  }
  return limits;
}

absl::StatusOr<std::vector<Limit>> ReadLimitFiles(absl::Span<const DataFile> files) {
  std::vector<Limit> all;
  for (const DataFile& file : files) {
    absl::StatusOr<std::vector<Limit>> limits = ReadLimitFile(file);
    if (!limits.ok()) return limits.status();
    for (Limit& limit : *limits) all.push_back(std::move(limit));
  }
  if (absl::Status together = CheckTogether(all); !together.ok()) return together;
  return all;
}

}  // namespace rundlet::rules
