tonebath_test(app_photo SOURCES photo_demo_test.cpp photo_study_test.cpp ../support/photo_study.cpp
              LINK tonebath_app tonebath_picture tonebath_base fmt::fmt photo_support)
