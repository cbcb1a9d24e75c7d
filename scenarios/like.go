package scenarios

import (
	"io"
	"reflect"
)

// ParseLike reads a scenario as [Parse] does, from a text that was changed a little since like was read from it: what the
// change leaves alone is not read and not worked out again, that is weather, measured series, loads and yields. The case
// is the same to the last bit. If like stands in another weather year than its text says (see [Case.WithSeed] and
// [Case.WithWeather]), so does the result, unless the change is in the weather. Lines in warnings may be those of like.
// Several goroutines may ask at once.
func ParseLike(name string, data []byte, open Open, like Case) (Case, error) {
	f, d := read(name, data)
	if d.fatal {
		return Case{}, d.err()
	}
	b := builder{decoder: d, f: f, open: open, from: like.made}
	if open == nil {
		b.open = func(string) (io.ReadCloser, error) { return nil, errNoFiles }
	}
	if sameText(like.made.f.Weather, f.Weather) {
		b.given = like.made.given
	}
	return b.build()
}

// sameText tells whether two things read from scenarios say the same, wherever they stand in the text.
func sameText(a, b any) bool { return sameValues(reflect.ValueOf(a), reflect.ValueOf(b)) }

func sameValues(a, b reflect.Value) bool {
	if a.IsValid() != b.IsValid() || a.IsValid() && a.Type() != b.Type() {
		return false
	}
	switch a.Kind() {
	case reflect.Invalid:
		return true
	case reflect.Struct:
		if a.Type() == reflect.TypeFor[at]() {
			return true
		}
		for i := range a.NumField() {
			if !sameValues(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !sameValues(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		return sameValues(a.Elem(), b.Elem())
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, key := range a.MapKeys() {
			if v := b.MapIndex(key); !v.IsValid() || !sameValues(a.MapIndex(key), v) {
				return false
			}
		}
		return true
	}
	return a.Equal(b) // numbers, texts, yes and no
}
