target_sources(tonebath_app PRIVATE bench.cpp actions/bench_actions.cpp views/bench_view.cpp)
