package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"hardnoon/api"
)

type questionsAnswer struct {
	Questions []string `json:"questions"`
}

func (s *Server) questions(w http.ResponseWriter, r *http.Request) {
	send(w, http.StatusOK, questionsAnswer{api.Questions()})
}

type aboutAnswer struct {
	Version   string   `json:"version"`
	Workspace string   `json:"workspace"`
	Shared    bool     `json:"shared"`
	Questions []string `json:"questions"`
}

func (s *Server) about(w http.ResponseWriter, r *http.Request) {
	send(w, http.StatusOK, aboutAnswer{s.Version, s.Name, s.Sharing != nil, api.Questions()})
}

// longest is how long one question may compute before its answer is given up.
const longest = 20 * time.Second

// ask answers one question. The computing cannot be stopped; it keeps its token
// until it ends, so that strangers to patience cannot pile it up.
func (s *Server) ask(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	most := int64(mostSmall)
	if carriesSession(name) {
		most = mostQuestion
	}
	data, err := body(w, r, most)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), longest)
	defer cancel()
	tooLong := func() {
		fail(w, http.StatusUnprocessableEntity, &api.Error{Code: "too_long", Text: fmt.Sprintf("this takes longer than %.0f seconds", longest.Seconds()),
			Hint: "ask for less: fewer setups, a coarser step"})
	}
	select {
	case s.busy <- struct{}{}:
	case <-ctx.Done():
		tooLong()
		return
	}
	type result struct {
		data []byte
		err  error
	}
	done := make(chan result, 1)
	go func() {
		defer func() { <-s.busy }()
		data, err := api.CallJSON(name, data)
		done <- result{data, err}
	}()
	select {
	case a := <-done:
		if a.err == nil {
			write(w, http.StatusOK, a.data)
			return
		}
		e := api.FailureOf(a.err).Error
		if e.Kind == api.Broken {
			s.bug(r, a.err)
		}
		fail(w, statusOf(e), e)
	case <-ctx.Done():
		tooLong()
	}
}

type placesAnswer struct {
	Places []Place `json:"places"`
}

func (s *Server) places(w http.ResponseWriter, r *http.Request) {
	text := strings.TrimSpace(r.URL.Query().Get("q"))
	if text == "" || !printable(text, 200) {
		fail(w, http.StatusBadRequest, &api.Error{Code: "wrong_input", Field: "q", Text: "this names no place", Hint: "the name of a town, or coordinates such as 33.05 S, 71.6 W"})
		return
	}
	if s.Places == nil {
		send(w, http.StatusOK, placesAnswer{[]Place{}})
		return
	}
	found, err := s.Places(r.Context(), text)
	if err != nil {
		s.tell(w, r, err)
		return
	}
	send(w, http.StatusOK, placesAnswer{append([]Place{}, found...)})
}

// printable tells text a person may have typed from other bytes.
func printable(text string, most int) bool {
	return utf8.ValidString(text) && utf8.RuneCountInString(text) <= most &&
		strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) < 0
}
