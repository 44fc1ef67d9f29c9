package safety

import (
	"math"
	"slices"

	"hardnoon/engine/unit"
)

// Basis says how a table was seen.
type Basis int

const (
	Opened     Basis = iota // in a text that was read
	FromMemory              // not opened: check it before relying on it
)

// ActivityStep is one row of an activity table.
type ActivityStep struct {
	From   unit.Fahrenheit // least wet-bulb globe temperature
	Above  bool            // From itself still belongs to the row before
	Level  Level
	Action string // in our words
}

// ActivityTable says what a published scheme asks for at a wet-bulb globe
// temperature. Printed gaps between two rows (86.9 to 87.0 °F) belong to the
// lower one.
type ActivityTable struct {
	Name   string
	Source string // key of docs/sources.md
	Basis  Basis
	Steps  []ActivityStep // from the coolest; the first has no lower end
}

// Region is how hot a place usually gets; limits follow what people there are
// used to.
type Region int

const (
	UnknownRegion Region = iota
	Cool                 // 90th percentile of the daily highest value up to 30.0 °C
	Middle               // 30.1 to 32.2 °C
	Hot                  // from 32.3 °C
)

// RegionOf returns the region for the 90th percentile of the warm season's daily
// highest wet-bulb globe temperature. Source: [Grundstein2015].
func RegionOf(percentile90 unit.Celsius) Region {
	switch {
	case !(percentile90 > -60 && percentile90 < 60):
		return UnknownRegion
	case percentile90 < 30.05:
		return Cool
	case percentile90 < 32.25:
		return Middle
	}
	return Hot
}

const coldest = -1000 // °F; every temperature is above

// rising builds the five rows that the regional tables share.
func rising(care, limit, brief, none unit.Fahrenheit) []ActivityStep {
	return []ActivityStep{
		{coldest, false, Quiet, "as usual, three breaks of three minutes an hour"},
		{care, false, Care, "use judgement, three breaks of four minutes an hour"},
		{limit, false, Care, "two hours at most, four breaks of four minutes an hour, less gear"},
		{brief, false, Care, "one hour at most, twenty minutes of rest in it, no protective gear"},
		{none, true, Stop, "nothing outdoors"},
	}
}

// The tables. "Quiet" is a table's own lowest row, never more than that.
var (
	tableHot    = ActivityTable{"US category 3, hot south", "GHSA2012", Opened, rising(82, 87, 90, 92)}
	tableMiddle = ActivityTable{"US category 2, middle", "Grundstein2015", FromMemory, rising(79.9, 84.7, 87.8, 89.6)}
	tableCool   = ActivityTable{"US category 1, cool north and coast", "Grundstein2015", FromMemory, rising(76.3, 81.1, 84.2, 86.0)}

	tableUnused = ActivityTable{"not used to the heat", "NATA2015", Opened, []ActivityStep{
		{coldest, false, Quiet, "more rest than usual"},
		{82, true, Care, "as much rest as work"},
		{86, true, Stop, "call it off"},
	}}
	tableUsed = ActivityTable{"used to the heat", "NATA2015", Opened, []ActivityStep{
		{coldest, false, Quiet, "as usual"},
		{82, true, Care, "use judgement"},
		{86, true, Care, "limit effort"},
		{90, true, Stop, "call it off"},
	}}
	tableChildren = ActivityTable{"children, a table of about 2000 no longer in force", "AAP2000", Opened, []ActivityStep{
		{coldest, false, Quiet, "everything, watch for signs"},
		{75, false, Care, "longer breaks in the shade, drink every fifteen minutes"},
		{78.8, false, Care, "stop those not used to it and those at risk, limit the others"},
		{84.2, false, Stop, "call it off"},
	}} // 26 and 29 °C; the printed 79 and 85 °F are rounded up
	tableManual = ActivityTable{"a doctors' manual", "MSDManual", Opened, []ActivityStep{
		{coldest, false, Quiet, "no precautions"},
		{60, false, Quiet, "drink"},
		{70, false, Care, "those not used to it: avoid effort"},
		{75, false, Care, "those used to it: breaks every twenty to thirty minutes"},
		{80, false, Care, "used to it and fit: briefly only"},
		{88, false, Stop, "no effort, no sun"},
	}}
	tableArmy = ActivityTable{"heat category of TB MED 507, for soldiers", "TBMED507", Opened, []ActivityStep{
		{coldest, false, Quiet, "below the categories"},
		{78, false, Quiet, "category 1"},
		{82, false, Care, "category 2"},
		{85, false, Care, "category 3"},
		{88, false, Care, "category 4"},
		{90, false, Stop, "category 5"},
	}}
)

// ActivityTables returns every table, those in force first.
func ActivityTables() []ActivityTable {
	return []ActivityTable{tableHot, tableMiddle, tableCool, tableUnused, tableUsed, tableManual, tableArmy, tableChildren}
}

// ActivityTableFor returns the table for a region. Where the region is not known
// it is the one for people not used to the heat: cautious, and read in a text.
// Own choice.
func ActivityTableFor(r Region) ActivityTable {
	switch r {
	case Cool:
		return tableCool
	case Middle:
		return tableMiddle
	case Hot:
		return tableHot
	}
	return tableUnused
}

// At returns the row for a wet-bulb globe temperature. Tables are printed in
// tenths of a degree Fahrenheit, so the value is rounded to them.
func (t ActivityTable) At(wbgt unit.Celsius) ActivityStep {
	tenths := func(f unit.Fahrenheit) float64 { return math.Round(10 * float64(f)) }
	f := tenths(wbgt.Fahrenheit())
	for _, s := range slices.Backward(t.Steps) {
		if from := tenths(s.From); f > from || f == from && !s.Above {
			return s
		}
	}
	return t.Steps[0]
}

// WorkReference is a row of ISO 7243:2017: where heat strain has to be looked
// into for adults fit for work. Not for children.
type WorkReference struct {
	Class        int
	Metabolic    float64 // W, about
	Acclimatised unit.Celsius
	Others       unit.Celsius
}

// WorkReferences returns the five classes, resting to very hard. Source:
// [ISO7243], from memory.
func WorkReferences() []WorkReference {
	return []WorkReference{{0, 115, 33, 32}, {1, 180, 30, 29}, {2, 300, 28, 26}, {3, 415, 26, 23}, {4, 520, 25, 20}}
}
