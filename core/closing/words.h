#ifndef RUNDLET_CORE_CLOSING_WORDS_H_
#define RUNDLET_CORE_CLOSING_WORDS_H_

#include <string>

#include "core/closing/periods.h"
#include "core/fold/fold.h"

namespace rundlet::closing {

// "up to the end of 2025-12-31", or "before 2025-12-31 14:00", by the clock of whoever wrote the
// entry of a row.
std::string UntilText(const Fold& fold, RowId row, int64_t until_us);

// "Maud Ferrier on 2026-01-10 09:00": who wrote an entry, and when.
std::string WhoText(const Fold& fold, RowId row);

// Why an entry that reaches to a moment is not taken, and the two ways out:
// "the book is closed up to the end of 2025-12-31, by Maud Ferrier on 2026-01-10 09:00: ...".
// Something is closed.
std::string RefusalText(const Fold& fold, const Periods& periods);

}  // namespace rundlet::closing

#endif  // RUNDLET_CORE_CLOSING_WORDS_H_
