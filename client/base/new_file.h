#ifndef RUNDLET_CLIENT_BASE_NEW_FILE_H_
#define RUNDLET_CLIENT_BASE_NEW_FILE_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/base/file.h"

namespace rundlet::client {

// A file that is written piece by piece beside its name, for its owner alone, and takes the name
// when it is whole. Destroyed before Finish, it leaves nothing behind, and what was there before as
// it was. Errors name the file.
class NewFile {
 public:
  static absl::StatusOr<NewFile> Create(const std::string& path);
  ~NewFile();
  NewFile(NewFile&& other) noexcept;
  NewFile& operator=(NewFile&&) = delete;

  // Keeps up to a megabyte in memory.
  absl::Status Write(absl::string_view piece);
  // Everything is on disk, under its name.
  absl::Status Finish();

 private:
  NewFile(std::string path, std::string part, Fd fd)
      : path_(std::move(path)), part_(std::move(part)), fd_(std::move(fd)) {}
  absl::Status Flush();

  std::string path_, part_;
  Fd fd_;
  std::string pending_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_NEW_FILE_H_
