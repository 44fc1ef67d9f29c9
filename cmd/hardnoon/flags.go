package main

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"hardnoon/engine/unit"
)

// number reads a flag that holds a plain number, or nil when it was not given.
func number(c *cobra.Command, name string) (*float64, error) {
	if !c.Flags().Changed(name) {
		return nil, nil
	}
	text, _ := c.Flags().GetString(name)
	x, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		return nil, usage("--"+name+" is "+strconv.Quote(text)+"; it takes a number", "write it like --"+name+" 1.5")
	}
	return &x, nil
}

// length reads a flag that holds a length: metres, or a number with mm, cm, m,
// ft or in behind it. It returns metres, or nil when it was not given.
func length(c *cobra.Command, name string) (*float64, error) {
	if !c.Flags().Changed(name) {
		return nil, nil
	}
	text, _ := c.Flags().GetString(name)
	m, err := parseLength(text)
	if err != nil {
		return nil, usage("--"+name+" is "+strconv.Quote(text)+"; it takes a length", "write it like --"+name+" 2.4m, 240cm or 8ft")
	}
	return &m, nil
}

// millimetres is length for what people say in millimetres, focal lengths: a
// bare number is one too.
func millimetres(c *cobra.Command, name string) (*float64, error) {
	if text, _ := c.Flags().GetString(name); c.Flags().Changed(name) {
		if _, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
			c.Flags().Set(name, text+"mm")
		}
	}
	m, err := length(c, name)
	if m != nil {
		*m *= float64(unit.Metre / unit.Millimetre)
	}
	return m, err
}

// speed reads a flag that holds a speed: metres a second, or a number with m/s,
// km/h, mph or kt behind it. It returns metres a second, or nil when it was not
// given.
func speed(c *cobra.Command, name string) (*float64, error) {
	if !c.Flags().Changed(name) {
		return nil, nil
	}
	text, _ := c.Flags().GetString(name)
	t, per := strings.TrimSpace(strings.ToLower(text)), unit.MetrePerSecond
	for _, u := range []struct {
		suffix string
		size   unit.Speed
	}{{"km/h", unit.KilometrePerHour}, {"m/s", unit.MetrePerSecond}, {"mph", unit.MilePerHour}, {"kt", unit.Knot}} {
		if rest, ok := strings.CutSuffix(t, u.suffix); ok {
			t, per = strings.TrimSpace(rest), u.size
			break
		}
	}
	x, err := strconv.ParseFloat(t, 64)
	if err != nil {
		return nil, usage("--"+name+" is "+strconv.Quote(text)+"; it takes a speed", "write it like --"+name+" 8m/s, 30km/h, 20mph or 15kt")
	}
	v := (unit.Speed(x) * per).MetresPerSecond()
	return &v, nil
}

func parseLength(text string) (float64, error) {
	t := strings.TrimSpace(strings.ToLower(text))
	per := unit.Metre
	for _, u := range []struct {
		suffix string
		size   unit.Length
	}{{"mm", unit.Millimetre}, {"cm", unit.Centimetre}, {"ft", unit.Foot}, {"in", unit.Inch}, {"m", unit.Metre}} {
		if rest, ok := strings.CutSuffix(t, u.suffix); ok {
			t, per = strings.TrimSpace(rest), u.size
			break
		}
	}
	x, err := strconv.ParseFloat(t, 64)
	return (unit.Length(x) * per).Metres(), err
}
