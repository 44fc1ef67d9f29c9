package safety

import (
	"hardnoon/engine/unit"
)

// Weather is what is known of the air and the sun. A nil figure was not said.
type Weather struct {
	Air      *unit.Celsius
	Humidity *float64      // relative, %
	Pressure unit.Pressure // at the place; 0 is 1013.25 hPa
	Wind     WindReport
	Sun      *unit.Irradiance // global horizontal
	Altitude *unit.Angle      // of the sun, true
	Distance float64          // of the sun in au; 0 is 1
	Urban    bool             // houses around, which slow the wind near the ground
}

// HeatStress is what the weather means for people who move in it.
type HeatStress struct {
	Advice
	WBGT      unit.Celsius
	Parts     *WBGT // nil for an estimate
	Estimate  bool  // of air and humidity alone, sun and wind taken for granted
	HeatIndex unit.Celsius
	Band      HeatBand
	Table     ActivityTable
	Step      ActivityStep // of Table, at WBGT
}

// estimateMargin is how far WBGTEstimate may be too low, °C: in full sun and
// nearly still air (0.5 m/s) 5.4 against [Liljegren2008] at 15 °C, 3.5 at 30 °C
// and 50 %. Own threshold: within it of a step that asks for care, an estimate
// asks for care.
const estimateMargin = 5.5

// Heat returns what the weather means, after the activity table of the region.
// It takes Liljegren2008 where sun and wind are known and WBGTEstimate where
// they are not; without temperature or humidity it is Unknown. A heat index of
// 90 °F asks for care whatever the table says.
func Heat(w Weather, r Region) (HeatStress, error) {
	h := HeatStress{Table: ActivityTableFor(r)}
	var missing []string
	if w.Air == nil {
		missing = append(missing, "air temperature")
	}
	if w.Humidity == nil {
		missing = append(missing, "humidity")
	}
	if len(missing) > 0 {
		h.Advice = advice(Unknown, missing, []string{h.Table.Source}, nil)
		return h, nil
	}
	var err error
	if h.HeatIndex, err = HeatIndex(*w.Air, *w.Humidity); err != nil {
		return HeatStress{}, err
	}
	h.Band = HeatBandOf(h.HeatIndex)

	sources, own := []string{"NWSHeatIndex", h.Table.Source}, []string(nil)
	if r == UnknownRegion {
		own = append(own, "region not known: the table for people not used to the heat")
	}
	h.Estimate = w.Sun == nil || w.Altitude == nil || w.Wind.Mean == nil
	if h.Estimate {
		if h.WBGT, err = WBGTEstimate(*w.Air, *w.Humidity); err != nil {
			return HeatStress{}, err
		}
		sources = append(sources, "BoM")
		own = append(own, "an estimate asks for care from 5.5 °C below the table")
	} else {
		o := Outdoors{Air: *w.Air, Humidity: *w.Humidity, Pressure: w.Pressure, Sun: *w.Sun, Altitude: *w.Altitude, Distance: w.Distance, Wind: *w.Wind.Mean}
		if err := o.Check(); err != nil {
			return HeatStress{}, err
		}
		o.Wind = WindAtTwo(o.Wind, 10*unit.Metre, StabilityOf(o.Altitude > 0, o.Wind, o.Sun), w.Urban)
		parts, err := Liljegren2008(o)
		if err != nil {
			return HeatStress{}, err
		}
		h.WBGT, h.Parts = parts.Value, &parts
		sources = append(sources, "Liljegren2008")
	}
	h.Step = h.Table.At(h.WBGT)
	level := h.Step.Level
	if h.Band >= ExtremeCaution || h.Estimate && h.Table.At(h.WBGT+estimateMargin).Level > Quiet {
		level = max(level, Care)
	}
	h.Advice = advice(level, nil, sources, own)
	return h, nil
}

// HeatForMinors is Heat where children or adolescents are among the people: the
// table for children is read as well, and the stricter of the two holds. That
// table is no longer in force; no other was found. Own rule.
func HeatForMinors(w Weather, r Region) (HeatStress, error) {
	h, err := Heat(w, r)
	if err != nil || h.Level == Unknown {
		return h, err
	}
	level := h.Level
	if step := tableChildren.At(h.WBGT); step.Level >= h.Step.Level {
		h.Table, h.Step = tableChildren, step
		level = max(level, step.Level)
	}
	if h.Estimate && tableChildren.At(h.WBGT+estimateMargin).Level > Quiet {
		level = max(level, Care)
	}
	h.Advice = advice(level, nil, append(h.Sources, tableChildren.Source), append(h.Own, "minors: the stricter of the region's table and the one for children"))
	return h, nil
}
