#ifndef RUNDLET_CORE_RULES_LIMIT_FILE_H_
#define RUNDLET_CORE_RULES_LIMIT_FILE_H_

#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/rules/data_file.h"
#include "core/rules/limit.h"

// Reads files of limits: rundlet.rules.v1.LimitFile, one jurisdiction each.
namespace rundlet::rules {

// The limits of a file, in its order. InvalidArgument names the file, the line where the text
// cannot be read, or the limit that is not whole: an id that is ours and well formed, a substance,
// basis, kind and unit that go together, a figure in bounds, borders of sugar in order, a source of
// the file with a title and a mark, a day of review; and each source is used.
absl::StatusOr<std::vector<Limit>> ReadLimitFile(const DataFile& file);

// All files together: ids are unique over all of them, and a limit stands only in place of others
// of its own file that share a substance with it.
absl::StatusOr<std::vector<Limit>> ReadLimitFiles(absl::Span<const DataFile> files);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LIMIT_FILE_H_
