// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_fields.h"

#include "planner/units/near_name.h"

#include <algorithm>
#include <array>
#include <map>
#include <string>
#include <vector>

namespace shimledger::services {

namespace {

constexpr std::array fields{
    SheetField{
        "size", FieldContent::size,
        "sizes|dimension|dimensions|dims|shim size|shim|shims|disc|discs|disc size|part size|abmessung|"
        "abmessungen|mass|masse|grosse|groesse|maat|afmeting|dimensione|dimensioni|medida|medidas|"
        "taille|dimension mm"},
    SheetField{"od_mm", FieldContent::length,
               "od|o d|outer|outer dia|outer diameter|outside diameter|outside dia|outside|diameter|dia|diam|"
               "diameter outer|diameter out|diameter outside|out diameter|diameter aussen|shim od|od "
               "dia|aussen|aussendurchmesser|aussen durchmesser|durchmesser|a d|"
               "da|diametre|diametre exterieur|diametro|diametro exterior|diametro esterno|"
               "buitendiameter|outer d|outside d|d outer|d1 outer"},
    SheetField{"id_mm", FieldContent::length,
               "id|i d|inner|inner dia|inner diameter|inside diameter|inside dia|inside|bore|hole|bore dia|"
               "bore diameter|diameter inner|diameter inside|diameter innen|shim "
               "id|innen|innendurchmesser|innen durchmesser|bohrung|di|diametre interieur|"
               "alesage|diametro interior|diametro interno|binnendiameter|inner d|inside d|d inner|d1"},
    SheetField{"thickness_mm", FieldContent::length,
               "thickness|thick|thk|thck|t|th|gauge|gage|nominal|nominal thickness|thickness nominal|"
               "shim thickness|dicke|starke|staerke|epaisseur|ep|espesor|grosor|spessore|dikte"},
    SheetField{"section_mm", FieldContent::length,
               "section|cross section|d2|cs|cord|schnurstarke|schnurstaerke|schnurdurchmesser"},
    SheetField{"length_mm", FieldContent::length,
               "length|height|len|width|lange|laenge|hohe|hoehe|breite|longueur|hauteur|altura|largo|"
               "lengte|hoogte|altezza"},
    SheetField{
        "measured_mm", FieldContent::length,
        "measured|measured thickness|thickness measured|actual|actual thickness|reading|"
        "micrometer|mean reading|gemessen|gemessene dicke|istmass|ist mass|mesure|medido|misurato|gemeten"},
    SheetField{"condition", FieldContent::condition,
               "new used|new or used|cond|state|zustand|neu gebraucht|etat|estado|stato|staat|conditie|"
               "condizione"},
    SheetField{"bin", FieldContent::text,
               "bin code|bin no|bin number|bin location|drawer|drawers|drawer no|drawer code|drawer number|"
               "compartment|location|loc|place|slot|box|tray|shelf|where|storage|storage bin|fach|schublade|"
               "lade|lagerort|lagerplatz|lagerfach|platz|ort|emplacement|tiroir|casier|cajon|ubicacion|"
               "cassetto|posizione|vak|bak|locatie"},
    SheetField{"cabinet", FieldContent::text, "cab|rack|cupboard|schrank|armoire|armario|armadio|kast"},
    SheetField{"walking_order", FieldContent::whole, "walk order|walk|laufweg|reihenfolge|sequence|route"},
    SheetField{"quantity", FieldContent::whole,
               "qty|qnty|quant|count|counted|pcs|pieces|piece count|pcs on hand|number of pieces|"
               "no of pieces|stock|in stock|on hand|onhand|amount|how many|qty on hand|quantity on hand|"
               "stock qty|stock quantity|stuck|stueck|stk|stuckzahl|stueckzahl|anzahl|menge|bestand|"
               "lagerbestand|quantite|qte|nombre|cantidad|cant|quantita|pezzi|aantal|hoeveelheid|stuks|"
               "voorraad|ist|ist bestand|istbestand|vorhanden|giacenza|existencias"},
    SheetField{"part", FieldContent::text,
               "part no|part number|part code|part nr|code|item|item no|item number|item code|sku|ref|"
               "reference|article|article no|article number|artikel|artikelnummer|artikelnr|artikel nr|teil|"
               "teilenummer|teilenr|teile nr|referencia|codice|part id"},
    SheetField{"kind", FieldContent::kind,
               "type|part type|part kind|category|art|typ|teileart|tipo|soort|genre|sorte"},
    SheetField{"description", FieldContent::text,
               "desc|name|item name|part name|item description|part description|bezeichnung|beschreibung|"
               "benennung|descripcion|descrizione|omschrijving|designation|libelle"},
    SheetField{"material", FieldContent::text, "steel|werkstoff|compound|matiere|materiale|materiaal"},
    SheetField{"hardness", FieldContent::text, "shore|harte|haerte"},
    SheetField{"coating", FieldContent::text, "beschichtung"},
    SheetField{"unit", FieldContent::text, "uom|unit of measure|einheit|unite|unidad"},
    SheetField{"class", FieldContent::text, "reorder class|part class|abc|abc class|klasse"},
    SheetField{"reorder_point", FieldContent::whole,
               "reorder at|reorder level|reorder|min|minimum|min stock|min qty|minimum stock|par|par level|"
               "meldebestand|mindestbestand|bestellpunkt|minimo|seuil|stock minimum|minimum quantity"},
    SheetField{"shelf_life_months", FieldContent::whole, "shelf life|haltbarkeit monate"},
    SheetField{"size_code", FieldContent::text, "dash|dash no|dash number"},
    SheetField{"note", FieldContent::text,
               "notes|remark|remarks|comment|comments|memo|notiz|notizen|bemerkung|bemerkungen|kommentar|"
               "anmerkung|anmerkungen|nota|notas|opmerking|opmerkingen|remarque|remarques"},
    SheetField{"supplier", FieldContent::text,
               "vendor|bought from|lieferant|fournisseur|proveedor|fornitore|leverancier|supplier name"},
    SheetField{"pack_size", FieldContent::whole,
               "pack|pack of|per pack|pcs per pack|pieces per pack|pieces in pack|pack qty|packung|"
               "packungsgrosse|packungsgroesse|ve|vpe"},
    SheetField{"pack_price", FieldContent::money,
               "price|price per pack|price pack|cost|preis|packungspreis|prix|precio|prezzo|prijs"},
    SheetField{"piece_price", FieldContent::money,
               "unit price|price each|each|price per piece|unit cost|cost each|stuckpreis|stueckpreis|"
               "einzelpreis|prix unitaire"},
    SheetField{"supplier_code", FieldContent::text,
               "supplier part|supplier part no|supplier part number|supplier no|vendor code|vendor part no|"
               "order code|bestellnummer|bestellnr|bestell nr"},
    SheetField{"lead_time_days", FieldContent::whole, "lead time|lieferzeit|lieferzeit tage|delivery days"},
    SheetField{"currency", FieldContent::text, "wahrung|waehrung|devise|moneda|valuta"},
    SheetField{"counted_on", FieldContent::date,
               "date|count date|counted date|date counted|last counted|last count|datum|zuletzt gezahlt|"
               "zuletzt gezaehlt|gezahlt am|gezaehlt am|stand"},
    SheetField{"reading_spread_mm", FieldContent::decimal, "spread"},
    SheetField{"available", FieldContent::whole, "free|verfugbar|verfuegbar"},
    // Of the other tables of the exchange format.
    SheetField{"lead_time_spread_days", FieldContent::whole, "", false},
    SheetField{"minimum_order", FieldContent::money, "", false},
    SheetField{"freight", FieldContent::money, "shipping|versand|fracht", false},
    SheetField{"priced_on", FieldContent::date, "price date", false},
    SheetField{"from_packs", FieldContent::whole, "", false},
    SheetField{"service_per_mille", FieldContent::whole, "", false},
    SheetField{"review_days", FieldContent::whole, "", false},
    SheetField{"line_cost", FieldContent::money, "", false},
    SheetField{"holding_percent", FieldContent::whole, "", false},
    SheetField{"cover_months", FieldContent::whole, "", false},
    SheetField{"dead_months", FieldContent::whole, "", false},
    SheetField{"model", FieldContent::text, "", false},
    SheetField{"legs", FieldContent::whole, "", false},
    SheetField{"quantity_per_leg", FieldContent::whole, "", false},
    SheetField{"job", FieldContent::text, "", false},
    SheetField{"customer", FieldContent::text, "", false},
    SheetField{"valve", FieldContent::text, "", false},
    SheetField{"valve_of", FieldContent::text, "", false},
    SheetField{"first_leg", FieldContent::whole, "", false},
    SheetField{"opened", FieldContent::date, "", false},
    SheetField{"clamp_od_mm", FieldContent::length, "", false},
    SheetField{"port_inner_diameter_mm", FieldContent::length, "", false},
    SheetField{"port_outer_diameter_mm", FieldContent::length, "", false},
    SheetField{"shim_id_mm", FieldContent::length, "", false},
    SheetField{"seat_diameter_mm", FieldContent::length, "", false},
    SheetField{"preload_mm", FieldContent::length, "", false},
    SheetField{"recipe", FieldContent::text, "", false},
    SheetField{"jobs_a_year", FieldContent::decimal, "", false},
    SheetField{"stack", FieldContent::text, "", false},
    SheetField{"stroke", FieldContent::text, "", false},
    SheetField{"driven_by", FieldContent::text, "", false},
    SheetField{"piston_mm", FieldContent::length, "", false},
    SheetField{"shaft_mm", FieldContent::length, "", false},
    SheetField{"port_count", FieldContent::whole, "", false},
    SheetField{"port_mm", FieldContent::length, "", false},
    SheetField{"port_area_mm2", FieldContent::decimal, "", false},
    SheetField{"open_share", FieldContent::decimal, "", false},
    SheetField{"bleed_mm", FieldContent::length, "", false},
    SheetField{"adjuster", FieldContent::text, "", false},
    SheetField{"needle_seat_mm", FieldContent::length, "", false},
    SheetField{"needle_cone_deg", FieldContent::decimal, "", false},
    SheetField{"needle_pitch_mm", FieldContent::length, "", false},
    SheetField{"needle_clicks_per_turn", FieldContent::whole, "", false},
    SheetField{"needle_clicks", FieldContent::whole, "", false},
    SheetField{"click", FieldContent::whole, "", false},
    SheetField{"oil_density_kg_m3", FieldContent::decimal, "", false},
    SheetField{"oil_40c_mm2_s", FieldContent::decimal, "", false},
    SheetField{"oil_100c_mm2_s", FieldContent::decimal, "", false},
    SheetField{"temperature_c", FieldContent::decimal, "", false},
    SheetField{"backing_mpa", FieldContent::decimal, "", false},
    SheetField{"working_lift_mm", FieldContent::length, "", false},
    SheetField{"port_discharge", FieldContent::decimal, "", false},
    SheetField{"curtain_discharge", FieldContent::decimal, "", false},
    SheetField{"bleed_discharge", FieldContent::decimal, "", false},
    SheetField{"fitted_to", FieldContent::text, "", false},
    SheetField{"ended_utc", FieldContent::moment, "", false},
    SheetField{"due", FieldContent::date, "", false},
    SheetField{"priority", FieldContent::whole, "", false},
    SheetField{"status", FieldContent::text, "", false},
    SheetField{"component", FieldContent::text, "", false},
    SheetField{"role", FieldContent::text, "", false},
    SheetField{"leg", FieldContent::whole, "", false},
    SheetField{"position", FieldContent::whole, "", false},
    SheetField{"try", FieldContent::text, "", false},
    SheetField{"wanted", FieldContent::text, "", false},
    SheetField{"kept_as", FieldContent::text, "", false},
    SheetField{"held_against", FieldContent::text, "", false},
    SheetField{"made_by", FieldContent::text, "", false},
    SheetField{"made_utc", FieldContent::moment, "", false},
    SheetField{"replaces", FieldContent::whole, "", false},
    SheetField{"reason", FieldContent::text, "", false},
    SheetField{"readings_mm", FieldContent::text, "", false},
    SheetField{"scrap", FieldContent::whole, "", false},
    SheetField{"scrap_reason", FieldContent::text, "", false},
    SheetField{"utc", FieldContent::moment, "", false},
    SheetField{"worn_percent", FieldContent::whole, "", false},
    SheetField{"decision", FieldContent::text, "", false},
    SheetField{"order", FieldContent::text, "", false},
    SheetField{"ordered_utc", FieldContent::moment, "", false},
    SheetField{"closed", FieldContent::text, "", false},
    SheetField{"order_line", FieldContent::whole, "", false},
    SheetField{"packs", FieldContent::whole, "", false},
    SheetField{"movement", FieldContent::text, "", false},
    SheetField{"to_bin", FieldContent::text, "", false},
    SheetField{"wanted_part", FieldContent::text, "", false},
    SheetField{"number", FieldContent::whole, "", false},
    SheetField{"batch", FieldContent::whole, "", false},
    SheetField{"reverses", FieldContent::whole, "", false},
    SheetField{"reading_mm", FieldContent::length, "", false},
    SheetField{"count", FieldContent::whole, "", false},
    SheetField{"place", FieldContent::text, "", false},
    SheetField{"state", FieldContent::text, "", false},
    SheetField{"retired", FieldContent::text, "", false},
    SheetField{"field", FieldContent::text, "", false},
    SheetField{"item", FieldContent::text, "", false},
    SheetField{"before", FieldContent::text, "", false},
    SheetField{"after", FieldContent::text, "", false},
};

/// Letters with marks, as they are written without.
constexpr std::array<std::pair<std::string_view, std::string_view>, 30> plain_letters{{
    {"ä", "a"},   {"ö", "o"},          {"ü", "u"},          {"Ä", "a"},          {"Ö", "o"}, {"Ü", "u"},
    {"ß", "ss"},  {"é", "e"},          {"è", "e"},          {"ê", "e"},          {"É", "e"}, {"á", "a"},
    {"à", "a"},   {"â", "a"},          {"í", "i"},          {"ì", "i"},          {"ó", "o"}, {"ò", "o"},
    {"ô", "o"},   {"ú", "u"},          {"ù", "u"},          {"û", "u"},          {"ñ", "n"}, {"ç", "c"},
    {"×", " x "}, {"Ø", " diameter "}, {"ø", " diameter "}, {"⌀", " diameter "}, {"µ", "u"}, {"μ", "u"},
}};

struct WordMeaning {
    std::string_view words; ///< parted by '|'
    std::string_view meaning;
};

constexpr std::array kind_words{
    WordMeaning{"shim|shims|disc|discs|disk|disks|valve shim|valve shims|valve disc|scheibe|scheiben|"
                "shimscheibe|shimscheiben|federscheibe|clapet|clapets",
                "shim"},
    WordMeaning{"bushing|bushings|bush|bushes|buchse|buchsen|gleitbuchse|gleitbuchsen", "bushing"},
    WordMeaning{"oil seal|oil seals|oilseal|oilring|oldichtung|oeldichtung|wellendichtring", "oil_seal"},
    WordMeaning{"dust seal|dust seals|dustseal|wiper|wipers|staubdichtung|abstreifer", "dust_seal"},
    WordMeaning{"o ring|o rings|oring|orings", "o_ring"},
    WordMeaning{"snap ring|snap rings|snapring|circlip|circlips|sicherungsring|sicherungsringe", "snap_ring"},
    WordMeaning{"washer|washers|crush washer|crush washers|unterlegscheibe|unterlegscheiben", "washer"},
    WordMeaning{"fluid|fluids|oil|oils|fork oil|shock oil|ol|oel|gabelol", "fluid"},
    WordMeaning{"other|others|misc|miscellaneous|sonstige|sonstiges|andere|autre", "other"}};
constexpr std::array condition_words{
    WordMeaning{"new|n|fresh|unused|neu|neue|neuf|neuve|nuevo|nueva|nuovo|nuova|nuovi|nieuw|nieuwe|novo",
                "new"},
    WordMeaning{"used|u|reclaimed|second hand|secondhand|gebraucht|gebrauchte|gebr|usage|occasion|d occasion|"
                "usado|usada|usato|usata|usati|gebruikt|gebruikte|2nd hand",
                "used"}};
constexpr std::array total_words{
    std::string_view("total"),         std::string_view("totals"), std::string_view("subtotal"),
    std::string_view("sub total"),     std::string_view("sum"),    std::string_view("grand total"),
    std::string_view("summe"),         std::string_view("gesamt"), std::string_view("gesamtsumme"),
    std::string_view("zwischensumme"), std::string_view("totaal"), std::string_view("totale"),
    std::string_view("somme"),         std::string_view("suma")};

std::vector<std::string> split(std::string_view text, char at) {
    std::vector<std::string> parts;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(at), text.size());
        if (end > 0) parts.emplace_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return parts;
}

std::string unitOfWord(const std::string& word) {
    if (word == "mm" || word == "millimetre" || word == "millimeter" || word == "millimetres") return "mm";
    if (word == "in" || word == "inch" || word == "inches" || word == "zoll") return "in";
    if (word == "um" || word == "micron" || word == "microns") return "um";
    if (word == "cm") return "cm";
    return {};
}

/// Every heading that is known, with its field.
const std::map<std::string, const SheetField*, std::less<>>& knownHeadings() {
    static const auto known = [] {
        std::map<std::string, const SheetField*, std::less<>> headings;
        // What a heading means in a flat sheet goes before what it means in another table: "count".
        for (const bool flat : {true, false}) {
            for (const SheetField& field : fields) {
                if (field.in_flat_sheets == flat) headings.emplace(headingWords(field.name).words, &field);
            }
            for (const SheetField& field : fields) {
                if (field.in_flat_sheets != flat) continue;
                for (const std::string& words : split(field.headings, '|')) headings.emplace(words, &field);
            }
        }
        return headings;
    }();
    return known;
}

template <typename Meanings>
std::optional<std::string> meaningOf(const Meanings& meanings, std::string_view text) {
    const std::string words = headingWords(text).words;
    for (const WordMeaning& meaning : meanings) {
        if (headingWords(meaning.meaning).words == words) return std::string(meaning.meaning);
        for (const std::string& word : split(meaning.words, '|')) {
            if (word == words) return std::string(meaning.meaning);
        }
    }
    return std::nullopt;
}

} // namespace

std::span<const SheetField> sheetFields() {
    return fields;
}

const SheetField* sheetField(std::string_view name) {
    for (const SheetField& field : fields) {
        if (field.name == name) return &field;
    }
    return nullptr;
}

HeadingWords headingWords(std::string_view heading) {
    std::string plain;
    bool inch_mark = false;
    for (std::size_t i = 0; i < heading.size();) {
        const auto letter = std::find_if(plain_letters.begin(), plain_letters.end(), [&](const auto& pair) {
            return heading.substr(i).starts_with(pair.first);
        });
        if (letter != plain_letters.end()) {
            plain += letter->second;
            i += letter->first.size();
            continue;
        }
        const char c = heading[i++];
        if (c >= 'A' && c <= 'Z') {
            plain += static_cast<char>(c - 'A' + 'a');
        } else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            plain += c;
        } else {
            // Letters of other scripts stay, so that two such headings are two.
            if (c == '"') inch_mark = true;
            plain += static_cast<unsigned char>(c) >= 0x80 ? c : ' ';
        }
    }
    HeadingWords result;
    if (inch_mark) result.unit = "in";
    std::vector<std::string> words = split(plain, ' ');
    // "Ø in" beside "Ø out" is the inner one; who means inches writes them apart: "Ø (in)".
    const bool inner = words.size() == 2 && words[0] == "diameter" && words[1] == "in" &&
                       heading.find_first_of("([,/") == std::string_view::npos;
    if (inner) words = {"inner", "diameter"};
    if (words.size() > 1) {
        // "in stock" begins with the word; a unit stands at the end.
        while (words.size() > 1 && !unitOfWord(words.back()).empty()) {
            result.unit = unitOfWord(words.back());
            words.pop_back();
        }
        if (words.size() > 1 && (words.back() == "pcs" || words.back() == "pc" || words.back() == "stk"))
            words.pop_back();
        if (words.size() > 1 && (words.back() == "eur" || words.back() == "usd" || words.back() == "gbp"))
            words.pop_back();
    }
    // "Outer diameter" written as "outer Ø"; a lone sign of a diameter is the word itself.
    for (const std::string& word : words) result.words += (result.words.empty() ? "" : " ") + word;
    if (result.words == "aussen diameter") result.words = "aussendurchmesser";
    if (result.words == "innen diameter") result.words = "innendurchmesser";
    return result;
}

std::optional<std::string> unitOfCell(std::string_view cell) {
    std::string words = headingWords(cell).words;
    if (words == "pcs" || words == "pc" || words == "stk" || words == "st") return std::string();
    words = unitOfWord(words);
    return words.empty() ? std::nullopt : std::optional(words);
}

const SheetField* fieldOfHeading(std::string_view words) {
    const auto found = knownHeadings().find(words);
    if (found != knownHeadings().end()) return found->second;
    // "OD x ID x t" names a size in one cell.
    const std::vector<std::string> parts = split(words, ' ');
    if (parts.size() >= 3 && std::find(parts.begin() + 1, parts.end() - 1, "x") != parts.end() - 1)
        return sheetField("size");
    return nullptr;
}

const SheetField* fieldNearHeading(std::string_view words) {
    if (words.size() < 4) return nullptr;
    std::vector<std::string> names;
    for (const auto& [heading, field] : knownHeadings()) {
        if (heading.size() >= 4) names.push_back(heading);
    }
    const std::string near = nearName(words, names);
    return near.empty() ? nullptr : fieldOfHeading(near);
}

std::optional<std::string> kindOfWord(std::string_view text) {
    return meaningOf(kind_words, text);
}

std::optional<std::string> conditionOfWord(std::string_view text) {
    return meaningOf(condition_words, text);
}

bool isTotalWord(std::string_view text) {
    const std::string words = headingWords(text).words;
    return std::any_of(total_words.begin(), total_words.end(), [&](std::string_view total) {
        return words == total || words.starts_with(std::string(total) + " ");
    });
}

} // namespace shimledger::services
