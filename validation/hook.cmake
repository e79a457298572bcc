# Adds this folder to the main project without a line in its CMakeLists.txt:
#   cmake -S . -B build/validation -DCMAKE_BUILD_TYPE=Release \
#         -DCMAKE_PROJECT_thawline_INCLUDE=$PWD/validation/hook.cmake
add_subdirectory(validation)
