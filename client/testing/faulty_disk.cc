#include "client/testing/faulty_disk.h"

#include <sqlite3.h>
#include <unistd.h>

#include <cstring>
#include <new>

namespace rundlet::client {
namespace {

using Fault = FaultyDisk::Fault;

struct Plan {
  int count = 0;
  int fail_at = 0;
  Fault fault = Fault::kNone;
} plan;

sqlite3_vfs* real = nullptr;
sqlite3_vfs shim;

// SQLite knows files as structs that begin with their methods; the real file lies behind ours.
struct ShimFile {
  sqlite3_file base;
  sqlite3_file* inner;
};

sqlite3_file* Inner(sqlite3_file* file) { return reinterpret_cast<ShimFile*>(file)->inner; }

// SQLITE_OK where the operation may go on.
int Next() {
  ++plan.count;
  if (plan.fault == Fault::kNone || plan.count < plan.fail_at) return SQLITE_OK;
  if (plan.fault == Fault::kKill) _exit(99);
  return plan.fault == Fault::kFull ? SQLITE_FULL : SQLITE_IOERR_WRITE;
}

int Write(sqlite3_file* file, const void* bytes, int size, sqlite3_int64 at) {
  const int code = Next();
  sqlite3_file* inner = Inner(file);
  if (code == SQLITE_OK) return inner->pMethods->xWrite(inner, bytes, size, at);
  if (plan.fault == Fault::kShortWrite) inner->pMethods->xWrite(inner, bytes, size / 2, at);
  return code;
}

int Sync(sqlite3_file* file, int flags) {
  const int code = Next();
  return code == SQLITE_OK ? Inner(file)->pMethods->xSync(Inner(file), flags) : SQLITE_IOERR_FSYNC;
}

int Truncate(sqlite3_file* file, sqlite3_int64 size) {
  return Next() == SQLITE_OK ? Inner(file)->pMethods->xTruncate(Inner(file), size)
                             : SQLITE_IOERR_TRUNCATE;
}

int Delete(sqlite3_vfs*, const char* name, int sync_dir) {
  return Next() == SQLITE_OK ? real->xDelete(real, name, sync_dir) : SQLITE_IOERR_DELETE;
}

// The rest is handed through.
int Close(sqlite3_file* f) { return Inner(f)->pMethods->xClose(Inner(f)); }
int Read(sqlite3_file* f, void* b, int n, sqlite3_int64 at) {
  return Inner(f)->pMethods->xRead(Inner(f), b, n, at);
}
int FileSize(sqlite3_file* f, sqlite3_int64* size) {
  return Inner(f)->pMethods->xFileSize(Inner(f), size);
}
int Lock(sqlite3_file* f, int level) { return Inner(f)->pMethods->xLock(Inner(f), level); }
int Unlock(sqlite3_file* f, int level) { return Inner(f)->pMethods->xUnlock(Inner(f), level); }
int CheckReserved(sqlite3_file* f, int* out) {
  return Inner(f)->pMethods->xCheckReservedLock(Inner(f), out);
}
int FileControl(sqlite3_file* f, int op, void* arg) {
  return Inner(f)->pMethods->xFileControl(Inner(f), op, arg);
}
int SectorSize(sqlite3_file* f) { return Inner(f)->pMethods->xSectorSize(Inner(f)); }
int Traits(sqlite3_file* f) { return Inner(f)->pMethods->xDeviceCharacteristics(Inner(f)); }
int ShmMap(sqlite3_file* f, int page, int size, int extend, void volatile** at) {
  return Inner(f)->pMethods->xShmMap(Inner(f), page, size, extend, at);
}
int ShmLock(sqlite3_file* f, int offset, int n, int flags) {
  return Inner(f)->pMethods->xShmLock(Inner(f), offset, n, flags);
}
void ShmBarrier(sqlite3_file* f) { Inner(f)->pMethods->xShmBarrier(Inner(f)); }
int ShmUnmap(sqlite3_file* f, int remove) {
  return Inner(f)->pMethods->xShmUnmap(Inner(f), remove);
}

const sqlite3_io_methods kMethods = {2,           Close,      Read,    Write,  Truncate,
                                     Sync,        FileSize,   Lock,    Unlock, CheckReserved,
                                     FileControl, SectorSize, Traits,  ShmMap, ShmLock,
                                     ShmBarrier,  ShmUnmap,   nullptr, nullptr};

int Open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out_flags) {
  auto* ours = reinterpret_cast<ShimFile*>(file);
  ours->base.pMethods = nullptr;
  ours->inner = reinterpret_cast<sqlite3_file*>(ours + 1);
  const int code = real->xOpen(real, name, ours->inner, flags, out_flags);
  if (code == SQLITE_OK) ours->base.pMethods = &kMethods;
  return code;
}

}  // namespace

FaultyDisk::FaultyDisk() {
  real = sqlite3_vfs_find(nullptr);
  shim = *real;
  shim.zName = "faulty-disk";
  shim.szOsFile = static_cast<int>(sizeof(ShimFile)) + real->szOsFile;
  shim.xOpen = Open;
  shim.xDelete = Delete;
  plan = {};
  sqlite3_vfs_register(&shim, 1);
}

FaultyDisk::~FaultyDisk() {
  sqlite3_vfs_unregister(&shim);
  sqlite3_vfs_register(real, 1);
}

void FaultyDisk::FailAt(int at, Fault fault) { plan = {.count = 0, .fail_at = at, .fault = fault}; }

int FaultyDisk::operations() const { return plan.count; }

}  // namespace rundlet::client
