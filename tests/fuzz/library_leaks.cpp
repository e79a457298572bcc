// UDUNITS-2 leaves behind the name of a unit it does not know, a few bytes each.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:libudunits2"; }
