// Package safety answers what could hurt somebody: a stand in the wind, heat,
// cold, lightning, ultraviolet light.
//
// It holds published formulas and tables, each with its source, and a few
// thresholds of our own, which say so. It judges by Level, whose zero value is
// Unknown: what nobody has measured is never fine. It decides nothing; Deferral
// goes with all advice. Relative humidity is in percent, everything else
// in the types of package unit; wind is at the height of the thing unless a name
// says otherwise.
//
// Left out: wakes and funnels between buildings, ropes and pegs, people's
// health and habits, and everything local rules add.
package safety

// Deferral is the line all advice carries.
const Deferral = "advice only: local rules, the maker's instructions and trained people decide"

// Level is what a figure asks for. The zero value is Unknown.
type Level int

const (
	Unknown Level = iota // something needed is not known: find it out
	Quiet                // nothing known speaks against it
	Care                 // change something, prepare for more
	Stop                 // do not, or take it down
)

func (l Level) String() string {
	switch l {
	case Quiet:
		return "quiet"
	case Care:
		return "care"
	case Stop:
		return "stop"
	}
	return "unknown"
}

// Advice is a judgement with its grounds.
type Advice struct {
	Level   Level
	Missing []string // what is not known
	Sources []string // keys of docs/sources.md
	Own     []string // thresholds in it that are ours
	Decides string   // always Deferral
}

// advice makes an Advice. What is missing makes the level Unknown, unless what is
// known is reason enough to stop.
func advice(l Level, missing, sources, own []string) Advice {
	if len(missing) > 0 && l != Stop {
		l = Unknown
	}
	return Advice{l, missing, sources, own, Deferral}
}
