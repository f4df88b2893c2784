#ifndef RUNDLET_SERVER_STORE_PG_VALUE_H_
#define RUNDLET_SERVER_STORE_PG_VALUE_H_

#include <pqxx/pqxx>
#include <string>

#include "absl/time/time.h"
#include "core/base/uuid.h"

namespace rundlet::server {

// Values as PostgreSQL writes them in results and takes them as parameters, in text format. These
// throw std::runtime_error where a value is not what its column promises; call them under Guard.

Uuid UuidFrom(const pqxx::field& field);

// The bytes of a bytea in its hexadecimal form.
std::string BytesFrom(const pqxx::field& field);

// A timestamptz.
std::string TimeParameter(absl::Time time);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_PG_VALUE_H_
