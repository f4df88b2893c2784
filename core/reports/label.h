#ifndef RUNDLET_CORE_REPORTS_LABEL_H_
#define RUNDLET_CORE_REPORTS_LABEL_H_

#include <cstdint>

#include "core/fold/fold.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// What the label of a bottling must or may say, item by item, each with why and with the text that
// asks for it: lot code, volume, alcohol as printed, sulfites, allergens, ingredients, energy. What
// the book does not have is named, with the command that brings it in, and never guessed. It is no
// advice, and says so.
void TellLabel(const Fold& fold, Handle bottling, int64_t now_us, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_LABEL_H_
