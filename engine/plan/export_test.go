package plan

import "hardnoon/engine/exposure"

// CandidateAt solves p at settings s, for the exhaustive walk.
func CandidateAt(p Problem, s exposure.Settings) (Answer, bool) {
	p.Camera = p.Camera.orUsual()
	if p.check() != nil {
		return Answer{}, false
	}
	return p.candidate(s), true
}
