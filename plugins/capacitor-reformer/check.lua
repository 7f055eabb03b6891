-- A capacitor reformer: d.c. through a resistor onto two terminals, on which an old electrolytic waits for hours.

-- The worst of a number over what may be on an outlet.
local function over(outlet, kinds, of)
  local most, at
  for _, load in outlet.values do
    if not kinds[load.kind] then continue end
    local value = of(load)
    if value and (most == nil or value > most) then most, at = value, load.label end
  end
  return most, at
end

local function short_current(found, jig, outlet)
  local amperes, at = over(outlet, { short = true }, function(load)
    local s = jig:solve{ supply = "high", loads = { [outlet.name] = load.label } }
    return s and math.abs(s.outlets[outlet.name].current_mean)
  end)
  if amperes == nil then
    table.insert(found, caution{
      check = "no-terminals",
      message = string.format("%s is not tried with a short on it, which is what an old electrolytic is at first", outlet.name),
      remedy = "write \"short\" among the loads of " .. outlet.name,
      nets = table.clone(outlet.across), line = outlet.line, condition = "as written",
    })
    return
  end
  if amperes <= limit("reform-current") then return end
  table.insert(found, caution{
    check = "reform-current",
    message = string.format("an old capacitor, as good as shorted at first, gets %s from %s: it boils and bursts", format(amperes, "A"), outlet.name),
    remedy = string.format("take %.1f times the resistance, or a source of constant current", amperes / limit("reform-current")),
    nets = table.clone(outlet.across), line = outlet.line, condition = "mains high, " .. outlet.name .. " " .. at, quantity = "mean current", value = amperes,
  })
end

-- Whether a short on the terminals gets what flows from the first to the second: where only the leak of a diode feeds open
-- terminals, their volts say nothing.
local function flows_back(jig, outlet)
  local back = nil
  for _, load in outlet.values do
    if load.kind == "short" then
      local s = jig:solve{ supply = "high", loads = { [outlet.name] = load.label } }
      local state = s and s.outlets[outlet.name]
      if state then back = state.current_mean < state.current_rms * limit("one-way") end
    end
  end
  return back
end

local function turned(found, jig, outlet)
  if flows_back(jig, outlet) == false then return end
  local back, at = over(outlet, { open = true, resistance = true }, function(load)
    local s = jig:solve{ supply = "high", loads = { [outlet.name] = load.label }, between = { outlet.across } }
    return s and -s.between[1].voltage_min
  end)
  if back == nil or back <= limit("turned-round") then return end
  table.insert(found, warning{
    check = "turned-round",
    message = string.format("the first terminal of %s, which is to be plus, goes %s below the second: an electrolytic on it bursts", outlet.name, format(back, "V")),
    remedy = "put a rectifier before the terminals, and write the plus terminal first",
    nets = table.clone(outlet.across), line = outlet.line, condition = "mains high, " .. outlet.name .. " " .. at, quantity = "volts the wrong way round", value = back,
  })
end

-- With the mains off and every contact as it is then, what lies across the terminals.
local function stays(found, jig, outlet)
  local crest = over(outlet, { open = true }, function(load)
    local s = jig:solve{ supply = "high", loads = { [outlet.name] = load.label }, between = { outlet.across } }
    return s and s.between[1].voltage_peak
  end)
  if crest == nil then return end
  local farads, worst = jig.settings.capacitor, nil
  local settings = { {} }
  for _, switch in jig:parts("switch") do
    local more = {}
    for _, before in settings do
      for _, position in switch.positions do
        local one = table.clone(before)
        one[switch.name] = position.name
        table.insert(more, one)
      end
    end
    settings = more
  end
  for _, switches in settings do
    local siemens = jig:divider(outlet.across[1], outlet.across[2], switches).siemens
    local left = crest * math.exp(-60 * siemens / farads)
    if worst == nil or left < worst then worst = left end
  end
  if worst <= limit("stays-charged") then return end
  table.insert(found, warning{
    check = "stays-charged",
    message = string.format("a minute after it is switched off, whatever the switches stand at, %s on %s still holds %s", format(farads, "F"), outlet.name, format(worst, "V")),
    remedy = string.format("put a resistor of %s or less across the terminals, or a position of the switch that does", format(60 / farads / math.log(crest / limit("stays-charged")), "Ω")),
    nets = table.clone(outlet.across), line = outlet.line, condition = "switched off for a minute", quantity = "volts left", value = worst,
  })
end

return {
  check = function(jig)
    local found = {}
    if #jig:outlets() == 0 then
      table.insert(found, caution{
        check = "no-terminals", message = "the file states no outlet, so nothing of what is reformed was judged",
        remedy = "write the terminals as [[outlet]] with loads = [\"open\", \"short\"]", condition = "as written",
      })
      return found
    end
    for _, outlet in jig:outlets() do
      short_current(found, jig, outlet)
      turned(found, jig, outlet)
      stays(found, jig, outlet)
    end
    if not jig.settings.shows then
      table.insert(found, notice{
        check = "not-shown", message = "nothing says how far the capacitor is: neither its volts nor the current into it",
        remedy = "put a voltmeter across the terminals and set [plugin.capacitor-reformer] shows = true",
        line = jig:outlets()[1].line, condition = "in use",
      })
    end
    return found
  end,
}
