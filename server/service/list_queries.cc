// The two lists of entries: a page of positions is chosen on the fold, then the entries' bytes are
// read and told.
#include <algorithm>
#include <utility>

#include "core/view/log_line.h"
#include "server/cellar/limits.h"
#include "server/errors.h"
#include "server/service/page_token.h"
#include "server/service/queries.h"
#include "server/service/read_entries.h"

namespace rundlet::server {
namespace {

constexpr char kJournalList = 'J';
constexpr char kHeldList = 'H';

absl::Status ValidatePage(int page_size, char list, const std::string& page_token) {
  if (page_size < 0) return MakeError(Error::kBadPageSize);
  return page_token.empty() ? absl::OkStatus() : ParsePageToken(list, page_token).status();
}

size_t PageSize(int asked) {
  return static_cast<size_t>(asked == 0 ? kDefaultListPage : std::min(asked, kMaxListPage));
}

// The first position that is not on an earlier page.
absl::StatusOr<size_t> FirstPosition(const Fold& fold, char list, const std::string& page_token) {
  if (page_token.empty()) return 0;
  const absl::StatusOr<Uuid> last = ParsePageToken(list, page_token);
  if (!last.ok()) return last.status();
  const RowId row = fold.sequence().Find(*last);
  if (row == kNone) return MakeError(Error::kBadPageToken);
  return fold.sequence().PositionOf(row) + 1;
}

// Of ascending positions, those of one page. Sets `token` if more follow.
std::vector<size_t> CutPage(const Fold& fold, char list, absl::Span<const size_t> positions,
                            size_t first, size_t page_size, std::string& token) {
  const auto begin = std::lower_bound(positions.begin(), positions.end(), first);
  const size_t there = static_cast<size_t>(positions.end() - begin);
  std::vector<size_t> page(begin, begin + static_cast<ptrdiff_t>(std::min(page_size, there)));
  if (there > page_size) {
    token = FormatPageToken(list, fold.sequence().row(fold.sequence().at(page.back())).id);
  }
  return page;
}

// Fills a page with what `line_of` makes of the entries at its positions. Ends it early, and says
// so in `token`, where it would grow beyond what a client takes.
template <typename Lines, typename LineOf>
absl::Status FillPage(const QueryContext& context, const Fold& fold, char list,
                      absl::Span<const size_t> page, Lines& lines, std::string& token,
                      const LineOf& line_of) {
  const absl::StatusOr<std::vector<v1::Entry>> entries =
      ReadEntriesAt(context.transaction, fold, page);
  if (!entries.ok()) return entries.status();
  size_t bytes = 0;
  for (size_t i = 0; i < page.size(); ++i) {
    auto line = line_of(page[i], (*entries)[i]);
    bytes += line.ByteSizeLong();
    if (i > 0 && bytes > kMaxListBytes) {
      token = FormatPageToken(list, fold.sequence().row(fold.sequence().at(page[i - 1])).id);
      break;
    }
    *lines.Add() = std::move(line);
  }
  return absl::OkStatus();
}

std::vector<size_t> AllPositions(const Fold& fold) {
  std::vector<size_t> positions(fold.sequence().size());
  for (size_t i = 0; i < positions.size(); ++i) positions[i] = i;
  return positions;
}

}  // namespace

absl::Status Validate(const v1::ListJournalRequest& request) {
  if (!request.subject_id().empty() && !Uuid::FromBytes(request.subject_id()).ok()) {
    return MakeError(Error::kBadSubject);
  }
  return ValidatePage(request.page_size(), kJournalList, request.page_token());
}

absl::Status Validate(const v1::ListHeldRequest& request) {
  return ValidatePage(request.page_size(), kHeldList, request.page_token());
}

absl::Status Answer(const QueryContext& context, const v1::ListJournalRequest& request,
                    v1::ListJournalResponse& response) {
  const auto read = [&](const LoadedCellar& cellar) -> absl::Status {
    const Fold& fold = cellar.fold();
    const absl::StatusOr<size_t> first = FirstPosition(fold, kJournalList, request.page_token());
    if (!first.ok()) return first.status();
    std::vector<size_t> positions;
    if (request.subject_id().empty()) {
      positions = AllPositions(fold);
    } else {
      const absl::StatusOr<Uuid> id = Uuid::FromBytes(request.subject_id());
      const Handle subject = id.ok() ? fold.interner().Find(*id) : kNoHandle;
      if (subject == kNoHandle) return MakeError(Error::kUnknownThing);
      positions = PositionsAbout(fold, subject);
    }
    const std::vector<size_t> page =
        CutPage(fold, kJournalList, positions, *first, PageSize(request.page_size()),
                *response.mutable_next_page_token());
    return FillPage(context, fold, kJournalList, page, *response.mutable_lines(),
                    *response.mutable_next_page_token(),
                    [&](size_t position, const v1::Entry& entry) {
                      return MakeLogLine(fold, position, entry);
                    });
  };
  return ReadCellar(context.transaction, context.cache, read);
}

absl::Status Answer(const QueryContext& context, const v1::ListHeldRequest& request,
                    v1::ListHeldResponse& response) {
  const auto read = [&](const LoadedCellar& cellar) -> absl::Status {
    const Fold& fold = cellar.fold();
    const absl::StatusOr<size_t> first = FirstPosition(fold, kHeldList, request.page_token());
    if (!first.ok()) return first.status();
    std::vector<size_t> positions;
    const auto& held = fold.state().held();
    for (size_t i = 0; i < held.size(); ++i) {
      positions.push_back(fold.sequence().PositionOf(held[i].row));
    }
    const std::vector<size_t> page =
        CutPage(fold, kHeldList, positions, *first, PageSize(request.page_size()),
                *response.mutable_next_page_token());
    return FillPage(context, fold, kHeldList, page, *response.mutable_held(),
                    *response.mutable_next_page_token(),
                    [&](size_t position, const v1::Entry& entry) {
                      return MakeHeldLine(fold, *fold.HeldAt(position), entry);
                    });
  };
  return ReadCellar(context.transaction, context.cache, read);
}

}  // namespace rundlet::server
