// How fast the fold is, by Google Benchmark. `items_per_second` counts entries.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <random>

#include "core/entry/entry.h"
#include "core/fold/fold.h"
#include "core/fold/snapshot.h"
#include "core/view/board.h"
#include "tests/bench/club_history.h"

namespace rundlet::bench {
namespace {

const std::vector<WrittenEntry>& History(size_t entries) {
  static auto* const kept = new std::map<size_t, std::vector<WrittenEntry>>;
  auto& history = (*kept)[entries];
  if (history.empty()) {
    testing::TestDevice device("bench");
    history = ClubHistory(device, entries);
  }
  return history;
}

std::unique_ptr<Fold> FoldOf(const std::vector<WrittenEntry>& history) {
  auto fold = std::make_unique<Fold>();
  for (const WrittenEntry& written : history) fold->Insert(written.entry);
  fold->Settle();
  return fold;
}

void CountEntries(benchmark::State& state, size_t entries) {
  state.SetItemsProcessed(static_cast<int64_t>(state.iterations() * entries));
}

// Reading the exact bytes and checking them.
void ParseEntries(benchmark::State& state) {
  const auto& history = History(state.range(0));
  for (auto _ : state) {
    for (const WrittenEntry& written : history)
      benchmark::DoNotOptimize(ParseEntry(written.bytes).ok());
  }
  CountEntries(state, history.size());
}

// From read entries to the folded cellar.
void FoldEntries(benchmark::State& state) {
  const auto& history = History(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(FoldOf(history));
  CountEntries(state, history.size());
}

// The same entries in random order, each settled with the 1,000 that came with it.
void FoldShuffledBatches(benchmark::State& state) {
  std::vector<WrittenEntry> history = History(state.range(0));
  std::shuffle(history.begin(), history.end(), std::mt19937(7));
  for (auto _ : state) {
    Fold fold;
    for (size_t i = 0; i < history.size(); ++i) {
      fold.Insert(history[i].entry);
      if (i % 1000 == 999) fold.Settle();
    }
    fold.Settle();
  }
  CountEntries(state, history.size());
}

// One entry that belongs 1,000 entries back.
void LateEntry(benchmark::State& state) {
  testing::TestDevice device("bench");
  const std::vector<WrittenEntry> history = ClubHistory(device, state.range(0));
  const std::unique_ptr<Fold> fold = FoldOf(history);
  int64_t at_us = history[history.size() - 1000].entry.effective_at_us();
  for (auto _ : state) {
    state.PauseTiming();
    const WrittenEntry late = device.At(++at_us).Observe("vessel 0");
    state.ResumeTiming();
    fold->Add(late.entry);
  }
}

void Digest(benchmark::State& state) {
  const std::unique_ptr<Fold> fold = FoldOf(History(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(fold->StateDigest());
  CountEntries(state, fold->sequence().size());
}

void Board(benchmark::State& state) {
  const std::unique_ptr<Fold> fold = FoldOf(History(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(MakeBoard(*fold, {}));
}

void OpenSnapshot(benchmark::State& state) {
  const std::unique_ptr<Fold> fold = FoldOf(History(state.range(0)));
  std::string bytes;
  Snapshot::Save(*fold, "",
                 [&](absl::string_view piece) { bytes.append(piece.data(), piece.size()); });
  const size_t size = (bytes.size() + 63) / 64 * 64;
  const std::unique_ptr<char, decltype(&std::free)> memory(
      static_cast<char*>(std::aligned_alloc(64, size)), std::free);
  std::copy(bytes.begin(), bytes.end(), memory.get());
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        Snapshot::Open(absl::MakeSpan(memory.get(), bytes.size()), Snapshot::Verify::kHeads).ok());
  }
}

BENCHMARK(ParseEntries)->Arg(100'000)->Unit(benchmark::kMillisecond);
BENCHMARK(FoldEntries)->Arg(10'000)->Arg(100'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(FoldShuffledBatches)->Arg(10'000)->Unit(benchmark::kMillisecond);
BENCHMARK(LateEntry)->Arg(100'000)->Unit(benchmark::kMicrosecond);
BENCHMARK(Digest)->Arg(100'000)->Unit(benchmark::kMillisecond);
BENCHMARK(Board)->Arg(100'000)->Unit(benchmark::kMicrosecond);
BENCHMARK(OpenSnapshot)->Arg(100'000)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace rundlet::bench

BENCHMARK_MAIN();
