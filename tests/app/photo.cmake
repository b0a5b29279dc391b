tonebath_test(app_photo
  SOURCES photo_study_test.cpp ../support/photo_files.cpp ../support/photo_scene.cpp ../support/photo_study.cpp
  LINK tonebath_app tonebath_picture fmt::fmt JPEG::JPEG PNG::PNG TIFF::TIFF PkgConfig::photo)
