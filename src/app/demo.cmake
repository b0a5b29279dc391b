target_sources(tonebath_app PRIVATE demo/demo.cpp demo/dice.cpp demo/invented_law.cpp demo/invented_year.cpp demo/pieces_writer.cpp
                                    demo/sessions_writer.cpp demo/stones_writer.cpp demo/stock_writer.cpp)
