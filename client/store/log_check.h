#ifndef RUNDLET_CLIENT_STORE_LOG_CHECK_H_
#define RUNDLET_CLIENT_STORE_LOG_CHECK_H_

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "client/store/db.h"

namespace rundlet::client {

// SQLite takes its write-ahead log to end before the first frame whose checksum fails, and says
// nothing of it. After a kill or a power cut that is right: such a frame belongs to a transaction
// that nobody was told was done. But where the disk has damaged what had been committed, all that
// stands behind it would be gone without a word, and the next entry would overwrite it.

// Looks whether transactions end in the log of an open database behind the frame at which SQLite
// stops reading: two at least, as one may be of a transaction that was never done. To be called
// after something was read. Costs a look at the heads of the frames behind, those of earlier rounds
// of the log among them. Damage to the last transaction of all is not found by this; last_saved.h
// tells of that.
//
// DataLoss: there are; the text says what to do.
absl::Status CheckLog(Db& db);

// Whether the first 32 bytes of a log are as SQLite wrote them.
bool IsWholeLogHeader(absl::string_view header);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_LOG_CHECK_H_
