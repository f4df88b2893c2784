// Goal: timeouts are added to both forms of connection strings and never override the operator's.
// Method: examples; that libpq takes them, the tests of the pool show with a database.
#include "server/pg/connection_string.h"

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

constexpr char kKeepalivesInFront[] =
    "keepalives_count=3 keepalives_interval=5 keepalives_idle=10 tcp_user_timeout=30000 ";
constexpr char kKeepalivesBehind[] =
    "&tcp_user_timeout=30000&keepalives_idle=10&keepalives_interval=5&keepalives_count=3";

TEST(ConnectionStringTest, KeywordsGetDefaultsInFront) {
  EXPECT_EQ(WithTimeouts("host=db connect_timeout=9", absl::Seconds(5)),
            absl::StrCat(kKeepalivesInFront, "connect_timeout=5 host=db connect_timeout=9"));
}

TEST(ConnectionStringTest, AddressesGetWhatTheyLack) {
  EXPECT_EQ(WithTimeouts("postgresql://db/rundlet", absl::Seconds(5)),
            absl::StrCat("postgresql://db/rundlet?connect_timeout=5", kKeepalivesBehind));
  EXPECT_EQ(WithTimeouts("postgres://db/rundlet?connect_timeout=9", absl::Seconds(5)),
            absl::StrCat("postgres://db/rundlet?connect_timeout=9", kKeepalivesBehind));
}

TEST(ConnectionStringTest, NeverBecomesEndless) {
  EXPECT_EQ(WithTimeouts("", absl::Milliseconds(1)),
            absl::StrCat(kKeepalivesInFront, "connect_timeout=1 "));
}

}  // namespace
}  // namespace rundlet::server
