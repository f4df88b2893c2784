#ifndef RUNDLET_TESTS_FAULTS_SMALL_DISK_H_
#define RUNDLET_TESTS_FAULTS_SMALL_DISK_H_

#include <cstdint>
#include <memory>
#include <string>

namespace rundlet::testing {

// A file system of its own of a given size: ext4 in a file, mounted by a loop device; or, where
// there are no loop devices, in memory. Needs the rights of root.
class SmallDisk {
 public:
  // Null where it may not be made; `why_not` says why.
  static std::unique_ptr<SmallDisk> Make(const std::string& folder, int64_t megabytes,
                                         std::string& why_not);
  ~SmallDisk();
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;

  const std::string& path() const { return path_; }
  // Fills it, so that about so many bytes are left; Free takes that away again.
  void FillUpTo(int64_t left_bytes);
  void Free();

 private:
  explicit SmallDisk(std::string path) : path_(std::move(path)) {}

  const std::string path_;
  bool mounted_ = false;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_SMALL_DISK_H_
