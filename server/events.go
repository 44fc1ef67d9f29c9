package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"hardnoon/api"
)

// mostStreams is how many event streams there may be: windows and phones of one
// person.
const mostStreams = 100

type helloEvent struct {
	Version string `json:"version"`
}

type sessionEvent struct {
	ID       string `json:"id"`
	Revision int64  `json:"revision"`
	Removed  bool   `json:"removed"`
	By       string `json:"by"`
}

type tapsEvent struct {
	ID string `json:"id"`
	By string `json:"by"`
}

// events streams the changes of the workspace until the client goes, the
// pairing ends, or the client falls behind: it then comes back and is greeted
// anew.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	if s.streams.Add(1) > mostStreams {
		s.streams.Add(-1)
		w.Header().Set("Retry-After", "10")
		fail(w, http.StatusTooManyRequests, &api.Error{Code: "too_many", Text: "too many windows listen already", Hint: "close some"})
		return
	}
	defer s.streams.Add(-1)
	news, stop := s.Workspace.Listen()
	defer stop()
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	say := func(event string, data any) error {
		// The stream outlives the limits of other requests, one write at a time.
		out.SetWriteDeadline(time.Now().Add(beat))
		out.SetReadDeadline(time.Time{})
		if event == "" {
			fmt.Fprint(w, ":\n\n")
		} else {
			text, _ := json.Marshal(data) // plain texts and numbers
			fmt.Fprintf(w, "event: %s\ndata: %s\n\n", event, text)
		}
		return out.Flush()
	}
	tick := time.NewTicker(beat)
	defer tick.Stop()
	err := say("hello", helloEvent{s.Version})
	for err == nil {
		select {
		case n, listening := <-news:
			switch {
			case !listening:
				return
			case n.Taps:
				err = say("taps", tapsEvent{n.ID, n.By})
			default:
				err = say("session", sessionEvent{n.ID, n.Revision, n.Removed, n.By})
			}
		case <-tick.C:
			err = say("", nil)
		case <-r.Context().Done():
			return
		case <-s.stop.Done():
			return
		}
	}
}
