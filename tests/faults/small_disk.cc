#include "tests/faults/small_disk.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/integration/process.h"

namespace rundlet::testing {
namespace {

Finished Shell(const std::string& command) { return RunProgram({"/bin/sh", "-c", command}); }

}  // namespace

std::unique_ptr<SmallDisk> SmallDisk::Make(const std::string& folder, int64_t megabytes,
                                           std::string& why_not) {
  std::unique_ptr<SmallDisk> disk(new SmallDisk(folder + "/disk"));
  std::filesystem::create_directories(disk->path_);
  const std::string image = folder + "/disk.img";
  const Finished loop = Shell(absl::StrCat("truncate -s ", megabytes, "M '", image,
                                           "' && mkfs.ext4 -q -m 0 -b 4096 '", image,
                                           "' && mount -o loop '", image, "' '", disk->path_, "'"));
  const Finished mounted = loop.exit_code == 0
                               ? loop
                               : Shell(absl::StrCat("mount -t tmpfs -o size=", megabytes,
                                                    "m tmpfs '", disk->path_, "'"));
  if (mounted.exit_code != 0) {
    why_not = absl::StrCat(loop.err, mounted.err);
    return nullptr;
  }
  disk->mounted_ = true;
  // Others pass through it, as through the folder that it stands in.
  std::filesystem::permissions(disk->path_, std::filesystem::perms(0755));
  return disk;
}

SmallDisk::~SmallDisk() {
  if (mounted_) Shell(absl::StrCat("umount -l '", path_, "'"));
}

void SmallDisk::FillUpTo(int64_t left_bytes) {
  const auto free = static_cast<int64_t>(std::filesystem::space(path_).available);
  const int fd = open((path_ + "/ballast").c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
  ASSERT_GE(fd, 0);
  // The programs at work may take room meanwhile, and the file system keeps books of its own.
  int64_t bytes = free - left_bytes;
  while (bytes >= 4096 && posix_fallocate(fd, 0, bytes) == ENOSPC) bytes -= 4096;
  close(fd);
}

void SmallDisk::Free() { std::filesystem::remove(path_ + "/ballast"); }

}  // namespace rundlet::testing
