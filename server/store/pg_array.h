#ifndef RUNDLET_SERVER_STORE_PG_ARRAY_H_
#define RUNDLET_SERVER_STORE_PG_ARRAY_H_

#include <cstdint>
#include <pqxx/pqxx>
#include <string>

#include "absl/strings/string_view.h"
#include "core/base/uuid.h"

namespace rundlet::server {

// The type of an array's elements, by its oid in PostgreSQL's catalogue (pg_type.dat).
enum class PgType : int32_t {
  kBool = 16,
  kBytes = 17,
  kInt8 = 20,
  kInt2 = 21,
  kInt4 = 23,
  kText = 25,
  kUuid = 2950,
};

// "uuid", "bigint" ...
absl::string_view PgTypeName(PgType type);

// A one-dimensional array in PostgreSQL's binary format, built element by element: many rows as one
// parameter of `insert ... select ... from unnest(...)`. PostgreSQL neither parses numbers nor
// unescapes bytes then. The format is that of array_recv (src/backend/utils/adt/arrayfuncs.c).
//
// Each Add must fit the type. Text must be UTF-8; U+0000, which PostgreSQL's text cannot hold, is
// replaced by U+FFFD.
class PgArray {
 public:
  explicit PgArray(PgType type);

  void AddInt(int64_t value);  // kInt2, kInt4, kInt8
  void AddBool(bool value);
  void AddUuid(const Uuid& id);
  void AddUuidOrNull(const Uuid& id);  // null for the nil id
  void AddText(absl::string_view text);
  void AddBytes(absl::string_view bytes);
  void AddNull();

  PgType type() const { return type_; }
  size_t size() const { return size_; }
  bool empty() const { return size_ == 0; }
  void Clear();

  pqxx::binarystring Parameter() const;

 private:
  void AppendElement(absl::string_view bytes);

  PgType type_;
  size_t size_ = 0;
  bool has_null_ = false;
  std::string elements_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PG_ARRAY_H_
