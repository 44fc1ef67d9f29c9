package flash

import (
	"time"

	"hardnoon/engine/unit"
)

// High-speed sync entry: published figures run from 1.0 to 3.4 stops. A hot-shoe
// flash follows the one printed table [HSSTable]; that a battery monolight
// enters more cheaply is a single statement.
const (
	entrySpeedlight, entrySpeedlightError = 2.0 * unit.Stop, 0.7 * unit.Stop
	entryMonolight, entryMonolightError   = 1.2 * unit.Stop, 0.6 * unit.Stop
)

const (
	third = unit.Stop / 3
	tenth = unit.Stop / 10
)

// every returns the time of 1/n s.
func every(n float64) time.Duration { return time.Duration(float64(time.Second) / n) }

// The catalogue: generic heads. Masses are own estimates, pops and heat limits
// from memory unless the source says so.
var catalogue = []Head{
	{
		ID: "speedlight-70", Name: "hot-shoe flash, 70 Ws", Energy: 70 * unit.WattSecond, Range: 7, Step: third, Error: 0.3,
		Entry: entrySpeedlight, EntryError: entrySpeedlightError, HSSRange: 5,
		Recycle: 2900 * time.Millisecond, Pops: 160, HeatPops: 38, T05: every(600), T01: every(200), T01Least: every(40000),
		Window: "zoom-50", Mass: 0.5 * unit.Kilogram,
		Source: "recycle and heat lock [SpeedlightRecycle], [SpeedlightHeat]; t0.1 a forum statement [SpeedlightT01]", Basis: "opened",
	},
	{
		ID: "battery-200", Name: "battery head, 200 Ws", Energy: 200 * unit.WattSecond, Range: 8, Step: tenth, Error: 0.3,
		Entry: entryMonolight, EntryError: entryMonolightError, HSSRange: 6,
		Recycle: 1300 * time.Millisecond, Pops: 470, HeatPops: 60, T05: every(1000), T01: every(300), T01Least: every(4000),
		Mass: 1.0 * unit.Kilogram, Source: "scaled from the larger heads", Basis: "own estimate",
	},
	{
		ID: "battery-400", Name: "battery head, 400 Ws", Energy: 400 * unit.WattSecond, Range: 9, Step: tenth, Error: 0.3,
		Entry: entryMonolight, EntryError: entryMonolightError, HSSRange: 6,
		Recycle: 1000 * time.Millisecond, Pops: 400, HeatPops: 60, T05: every(1000), T01: every(300), T01Least: every(3300),
		Mass: 2.1 * unit.Kilogram, Source: "nine stops in tenths, t0.5 1/1000 to 1/11000 [BatteryHead]; recycle of about a second, common practice, no source", Basis: "opened",
	},
	{
		ID: "battery-600", Name: "battery head, 600 Ws", Energy: 600 * unit.WattSecond, Range: 8, Step: tenth, Error: 0.3,
		Entry: entryMonolight, EntryError: entryMonolightError, HSSRange: 6,
		Recycle: 1500 * time.Millisecond, Pops: 400, HeatPops: 60, T05: every(700), T01: every(220), T01Least: every(5000),
		Mass: 2.8 * unit.Kilogram, Source: "scaled from a 500 Ws head [BatteryHead]", Basis: "own estimate",
	},
	{
		ID: "battery-1200", Name: "battery head, 1200 Ws", Energy: 1200 * unit.WattSecond, Range: 8, Step: tenth, Error: 0.3,
		Entry: entryMonolight, EntryError: entryMonolightError, HSSRange: 6,
		Recycle: 2200 * time.Millisecond, Pops: 330, HeatPops: 50, T05: every(450), T01: every(140), T01Least: every(4000),
		Mass: 5.5 * unit.Kilogram, Source: "scaled from a 500 Ws head [BatteryHead]", Basis: "own estimate",
	},
	{
		ID: "pack-1100", Name: "battery pack with one head, 1100 Ws", Energy: 1100 * unit.WattSecond, Range: 6, Step: tenth, Error: 0.4,
		Entry: 2 * unit.Stop, EntryError: 1 * unit.Stop, HSSRange: 0,
		Recycle: 2500 * time.Millisecond, Pops: 250, HeatPops: 50, T05: every(1200), T01: every(360), T01Least: every(150), Kind: VoltageControlled,
		Mass: 10 * unit.Kilogram, Source: "six stops in tenths, t0.5 1/850 at a third of the power [Pack]; above sync it burns by its tail, at full power only [TailSync]", Basis: "opened",
	},
}

// All returns the catalogue, smallest head first.
func All() []Head { return append([]Head(nil), catalogue...) }

// ByID returns the head of that name.
func ByID(id string) (Head, bool) {
	for _, h := range catalogue {
		if h.ID == id {
			return h, true
		}
	}
	return Head{}, false
}
