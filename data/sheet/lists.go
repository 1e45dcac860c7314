package sheet

import "reflect"

// withLists gives every list of a sheet that has nothing in it an empty one, so
// that JSON says [] and not null: a program need not tell the two apart.
func withLists(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			withLists(v.Elem())
		}
	case reflect.Slice:
		if v.IsNil() && v.CanSet() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		for i := range v.Len() {
			withLists(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				withLists(v.Field(i))
			}
		}
	}
}
