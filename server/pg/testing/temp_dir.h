#ifndef RUNDLET_SERVER_PG_TESTING_TEMP_DIR_H_
#define RUNDLET_SERVER_PG_TESTING_TEMP_DIR_H_

#include <string>

namespace rundlet::server {

// A fresh directory under $TMPDIR or /tmp, removed with all that it holds. Other users may pass
// through it (0711), as a cluster needs that root starts for another user. Aborts if it cannot be
// made.
class TempDir {
 public:
  TempDir();
  ~TempDir();
  TempDir(const TempDir&) = delete;
  TempDir& operator=(const TempDir&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_TESTING_TEMP_DIR_H_
