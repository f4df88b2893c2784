#ifndef RUNDLET_TESTS_SUPPORT_DESCRIBE_H_
#define RUNDLET_TESTS_SUPPORT_DESCRIBE_H_

#include <cstdint>
#include <string>

#include "core/fold/fold.h"

// A fold in words that do not depend on the order of arrival: everything is named by ids, never by
// handles, rows or parcel numbers. Written apart from StateDigest, to check it, and to be read when
// two folds differ.
namespace rundlet::testing {

// "<entry id>#<ordinal>", or "-".
std::string DescribeParcel(const Fold& fold, ParcelId parcel);
std::string DescribeCommodity(const Fold& fold, Commodity commodity);
std::string DescribePlace(const Fold& fold, Place place);

// What the entry at a position of the order did: standing, held, movements, parcels, facts. An
// entry that is not folded (behind one of an unknown kind) says so.
std::string DescribePosition(const Fold& fold, size_t position);

// What a vessel holds; empty where it holds nothing.
std::string DescribeVessel(const Fold& fold, Handle vessel);

// A balance of a bin or of the stock; empty where there is none.
std::string DescribeBalance(const Fold& fold, uint32_t index);

// A named thing; empty while nobody has registered it. Handle 0 is the settings.
std::string DescribeThing(const Fold& fold, Handle thing);

// All of that, in an order by ids.
std::string DescribeAll(const Fold& fold);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_DESCRIBE_H_
