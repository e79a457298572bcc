#include "cases/read_material.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace thawline::cases {

namespace {

constexpr std::size_t most_material_bytes = 4U << 20U;
constexpr Range any_temperature{0, 2000};
constexpr Range fraction{0, 1};

void check_source(const Entry& entry) { (void)entry.at("source").text(); }

void check_valid(const Entry& valid) {
  if (!valid.is_list() || valid.items().size() != 2) {
    valid.fail("two temperatures are expected here, as in [0 degC, 40 degC]");
  }
  const auto ends = valid.items();
  const double low = ends[0].quantity(dimension::temperature, any_temperature);
  if (ends[1].quantity(dimension::temperature, any_temperature) <= low) {
    ends[1].fail("the second temperature must be the higher one");
  }
}

void check_constant(const Entry& entry) {
  entry.check_keys("constant");
  check_source(entry);
  if (const auto valid = entry.find("valid")) check_valid(*valid);
}

/// `{value, source}` in SI.
double sourced(const Entry& entry, const Dimension& dimension, Range range) {
  check_constant(entry);
  return entry.at("value").quantity(dimension, range);
}

double sourced_fraction(const Entry& entry) {
  check_constant(entry);
  return entry.at("value").number(fraction);
}

std::vector<Entry> table_rows(const Entry& entry, std::size_t columns) {
  const Entry table = entry.at("table");
  if (!table.is_list()) table.fail("a list of rows is expected here");
  auto rows = table.items();
  if (rows.size() < 2) table.fail("a table needs at least two rows");
  for (const auto& row : rows) {
    if (!row.is_list() || row.items().size() != columns) {
      row.fail(fmt::format("a row of {} values is expected here", columns));
    }
  }
  return rows;
}

Property read_property(const Entry& entry, const Dimension& dimension, Range range) {
  entry.check_known({"constant", "table"});
  if (entry.has("table")) {
    entry.check_keys("table");
    Property property{{}, entry.at("source").text()};
    for (const auto& row : table_rows(entry, 2)) {
      const auto cells = row.items();
      const double at = cells[0].quantity(dimension::temperature, any_temperature);
      if (!property.rows.empty() && at <= property.rows.back().at) {
        cells[0].fail("temperatures in a table must increase");
      }
      property.rows.push_back({at, cells[1].quantity(dimension, range)});
    }
    return property;
  }
  check_constant(entry);
  if (!entry.has("valid")) {
    entry.fail("the key 'valid' is missing (the temperatures the value holds for)");
  }
  return {{{0, entry.at("value").quantity(dimension, range)}}, entry.at("source").text()};
}

SharpMelting read_sharp(const Entry& entry) {
  entry.check_keys("sharp");
  return {sourced(entry.at("point"), dimension::temperature, any_temperature),
          sourced(entry.at("latent_heat"), dimension::latent_heat, {1e3, 3e6})};
}

RangeMelting read_range(const Entry& entry) {
  entry.check_keys("range");
  RangeMelting melting{sourced(entry.at("solidus"), dimension::temperature, any_temperature),
                       sourced(entry.at("liquidus"), dimension::temperature, any_temperature),
                       sourced(entry.at("latent_heat"), dimension::latent_heat, {1e3, 3e6})};
  if (melting.liquidus <= melting.solidus) {
    entry.at("liquidus").fail("the liquidus must lie above the solidus (else use 'law: sharp')");
  }
  return melting;
}

Property read_liquidus(const Entry& entry) {
  entry.check_keys("table");
  Property liquidus{{}, entry.at("source").text()};
  for (const auto& row : table_rows(entry, 2)) {
    const auto cells = row.items();
    const double composition = cells[0].number(fraction);
    const double temperature = cells[1].quantity(dimension::temperature, any_temperature);
    if (!liquidus.rows.empty() &&
        (composition <= liquidus.rows.back().at || temperature >= liquidus.rows.back().value)) {
      row.fail("along a liquidus the salt must increase and the temperature fall");
    }
    liquidus.rows.push_back({composition, temperature});
  }
  return liquidus;
}

LeverMelting read_lever(const Entry& entry) {
  entry.check_keys("lever");
  LeverMelting melting;
  melting.composition = sourced_fraction(entry.at("composition"));
  melting.eutectic_point =
      sourced(entry.at("eutectic_point"), dimension::temperature, any_temperature);
  melting.eutectic_composition = sourced_fraction(entry.at("eutectic_composition"));
  melting.eutectic_latent_heat =
      sourced(entry.at("eutectic_latent_heat"), dimension::latent_heat, {1e3, 3e6});
  melting.latent_heat = sourced(entry.at("latent_heat"), dimension::latent_heat, {1e3, 3e6});
  melting.liquidus = read_liquidus(entry.at("liquidus"));
  if (melting.composition <= 0 || melting.composition >= melting.eutectic_composition) {
    entry.at("composition").fail("must lie between 0 and the eutectic composition");
  }
  if (melting.liquidus.rows.front().at > melting.composition) {
    entry.at("liquidus").fail("the first row must hold no more salt than the composition");
  }
  const auto& last = melting.liquidus.rows.back();
  if (std::abs(last.at - melting.eutectic_composition) > 1e-9 ||
      std::abs(last.value - melting.eutectic_point) > 1e-6) {
    entry.at("liquidus").fail("the last row must be the eutectic");
  }
  return melting;
}

DiluteMelting read_dilute(const Entry& entry) {
  entry.check_keys("dilute");
  DiluteMelting melting;
  melting.freezing_point =
      sourced(entry.at("freezing_point"), dimension::temperature, {200, 273.149});
  melting.water = sourced_fraction(entry.at("water"));
  melting.latent_heat = sourced(entry.at("latent_heat"), dimension::latent_heat, {1e3, 3e6});
  melting.floor = sourced(entry.at("floor"), dimension::temperature, any_temperature);
  if (melting.floor >= melting.freezing_point) {
    entry.at("floor").fail("must lie below the freezing point");
  }
  return melting;
}

TableMelting read_enthalpy_table(const Entry& entry) {
  entry.check_keys("enthalpy_table");
  const Entry table = entry.at("enthalpy");
  table.check_keys("table");
  check_source(table);
  TableMelting melting;
  for (const auto& row : table_rows(table, 3)) {
    const auto cells = row.items();
    const EnthalpyRow read{cells[0].quantity(dimension::temperature, any_temperature),
                           cells[1].quantity(dimension::latent_heat, {}),
                           cells[2].number(fraction)};
    if (!melting.rows.empty()) {
      const auto& last = melting.rows.back();
      if (read.temperature <= last.temperature || read.enthalpy <= last.enthalpy ||
          read.liquid_fraction < last.liquid_fraction) {
        row.fail("temperature and enthalpy must increase, and the liquid fraction not fall");
      }
    }
    melting.rows.push_back(read);
  }
  return melting;
}

Melting read_melting(const Entry& entry) {
  entry.check_known({"sharp", "range", "lever", "dilute", "enthalpy_table"});
  const std::string law = entry.at("law").one_of({"sharp", "range", "lever", "dilute", "table"});
  if (law == "sharp") return read_sharp(entry);
  if (law == "range") return read_range(entry);
  if (law == "lever") return read_lever(entry);
  if (law == "dilute") return read_dilute(entry);
  return read_enthalpy_table(entry);
}

/// Fills the solid and the liquid property from one key, alike where the material has one phase.
void read_both_phases(const Entry& entry, bool melts, const Dimension& dimension, Range range,
                      Property& solid, Property& liquid) {
  if (!melts) {
    solid = liquid = read_property(entry, dimension, range);
    return;
  }
  entry.check_keys("by_phase");
  solid = read_property(entry.at("solid"), dimension, range);
  liquid = read_property(entry.at("liquid"), dimension, range);
}

}  // namespace

Material read_material(const std::string& name, const Entry& entry) {
  entry.check_keys("material");
  Material material;
  material.name = name;
  material.title = entry.at("title").line();
  if (const auto uses = entry.find("uses")) {
    for (const auto& use : uses->items()) {
      material.uses.push_back(use.one_of({"coolant", "payload", "wall", "gas"}));
    }
  }
  material.density = sourced(entry.at("density"), dimension::density, {0.01, 30000});
  material.density_liquid = material.density;
  if (const auto liquid = entry.find("density_liquid")) {
    material.density_liquid = sourced(*liquid, dimension::density, {0.01, 30000});
  }
  if (const auto melting = entry.find("melting")) material.melting = read_melting(*melting);
  read_both_phases(entry.at("heat_capacity"), material.melts(), dimension::heat_capacity,
                   {1, 50000}, material.heat_capacity_solid, material.heat_capacity_liquid);
  read_both_phases(entry.at("conductivity"), material.melts(), dimension::conductivity,
                   {1e-4, 5000}, material.conductivity_solid, material.conductivity_liquid);
  if (const auto emissivity = entry.find("emissivity")) {
    material.emissivity = sourced_fraction(*emissivity);
  }
  return material;
}

void read_materials(const Entry& map, MaterialShelf& shelf) {
  for (const auto& name : map.keys()) shelf[name] = read_material(name, map.at(name));
}

namespace {

/// The lines of a text, each with its end.
std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size() - 1) + 1;
    lines.push_back(text.substr(begin, end - begin));
    begin = end;
  }
  return lines;
}

/// The text of each entry of a map as it stands in its file; put into words anew where the entries
/// do not have their lines to themselves.
std::vector<std::string> entries_as_written(const Entry& map) {
  const auto lines = lines_of(map.source().text);
  std::vector<std::size_t> starts;
  bool in_lines = map.node().Style() == YAML::EmitterStyle::Block;
  for (const auto& pair : map.node()) {
    starts.push_back(static_cast<std::size_t>(pair.first.Mark().line));
    in_lines = in_lines && pair.first.Mark().column == 0;
  }
  starts.push_back(lines.size());
  std::vector<std::string> texts;
  std::size_t i = 0;
  for (const auto& pair : map.node()) {
    std::string text;
    for (std::size_t k = starts[i]; in_lines && k < starts[i + 1]; ++k) {
      const bool mark = lines[k].starts_with("---") || lines[k].starts_with("...");
      if (!mark) text += lines[k];
    }
    if (!text.ends_with('\n')) text += '\n';
    if (!in_lines) {
      YAML::Node alone;
      alone[pair.first.Scalar()] = pair.second;
      text = YAML::Dump(alone) + '\n';
    }
    texts.push_back(text);
    ++i;
  }
  return texts;
}

}  // namespace

void read_material_file(const SourceText& source, MaterialShelf& shelf) {
  const Entry map = parse_yaml(source);
  const auto names = map.keys();
  const auto texts = entries_as_written(map);
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Entry entry = map.at(names[i]);
    if (shelf.contains(names[i])) {
      entry.fail("a material of this name stands in another file already");
    }
    Material& material = shelf[names[i]] = read_material(names[i], entry);
    material.written = texts[i];
  }
}

std::vector<std::string> material_files(const std::string& folder) {
  namespace fs = std::filesystem;
  std::error_code error;
  std::vector<std::string> files;
  for (const auto& item : fs::directory_iterator(folder, error)) {
    if (item.path().extension() == ".yaml") files.push_back(item.path().string());
  }
  if (error || files.empty()) {
    throw InputError(fmt::format("{}: no material files (*.yaml) found here", folder));
  }
  std::sort(files.begin(), files.end());
  return files;
}

std::string material_as_written(const std::string& folder, const std::string& name) {
  for (const auto& file : material_files(folder)) {
    const SourceText source = read_named_file(file, most_material_bytes);
    const auto entry = parse_yaml(source).find(name);
    if (!entry) continue;
    YAML::Node alone;
    alone[name] = entry->node();
    return YAML::Dump(alone);
  }
  return {};
}

MaterialShelf read_material_folder(const std::string& folder) {
  MaterialShelf shelf;
  for (const auto& file : material_files(folder)) {
    read_material_file(read_named_file(file, most_material_bytes), shelf);
  }
  return shelf;
}

}  // namespace thawline::cases
