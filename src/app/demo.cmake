target_sources(tonebath_app PRIVATE demo/checks_writer.cpp demo/classes_writer.cpp demo/coats_writer.cpp demo/demo.cpp demo/dice.cpp demo/invented_law.cpp demo/invented_year.cpp demo/judgement_writer.cpp
                                    demo/pieces_writer.cpp demo/rack_writer.cpp demo/session_writer.cpp demo/stock_writer.cpp
                                    demo/stones_writer.cpp demo/travelling_writer.cpp)
