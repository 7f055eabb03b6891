-- Told as failed by name: a copy of `jig` would be a writable one with the host behind it.
return { check = function(jig)
  local copy = table.clone(jig)
  copy.parts = function() return {} end
  return { notice{ check = "hostile", message = "BREACH", remedy = "none" } }
end }
