# Headers that most files of a target read, compiled once for the target. A build for checks saves a
# third of its time so; an everyday build does without, since a compiler cache does more for it and a
# header that a file forgets to name is noticed.
option(THAWLINE_PRECOMPILED "Compile the most read headers once for each target" OFF)

function(precompile target)
  if(THAWLINE_PRECOMPILED)
    target_precompile_headers(${target} PRIVATE ${ARGN})
  endif()
endfunction()
