using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// What names mean in one place: the top of a netlist, or one instance of a subcircuit. Names not found here are looked up where the
/// subcircuit was defined. All names without regard to case.
/// </summary>
internal sealed class Scope(Scope? parent, string path)
{
    private static readonly StringComparer Names = StringComparer.OrdinalIgnoreCase;

    private Dictionary<string, ParameterSlot>? parameters;
    private Dictionary<string, FunctionDefinition>? functions;
    private Dictionary<string, ModelSlot>? models;
    private Dictionary<string, SubcircuitSlot>? subcircuits;

    /// <summary>The scope of the definition, or null at the top.</summary>
    public Scope? Parent { get; } = parent;

    /// <summary>What names of elements and nodes start with here: empty, or <c>XCH1.XV1A.</c></summary>
    public string Path { get; } = path;

    /// <summary>Nodes by local name. Ports are in it from the start.</summary>
    public Dictionary<string, int> Nodes { get; } = new(Names);

    /// <summary>When this is the inside of a device: its name and its ports' pins.</summary>
    public DeviceScope? Device { get; init; }

    /// <summary>Adds or replaces a parameter.</summary>
    public void Add(string name, ParameterSlot slot) => (parameters ??= new(Names))[name] = slot;

    /// <summary>Adds a function unless the name is taken.</summary>
    public bool Add(string name, FunctionDefinition function) =>
        (functions ??= new(Names)).TryAdd(name, function);

    /// <summary>Adds a model unless the name is taken.</summary>
    public bool Add(string name, ModelSlot model) => (models ??= new(Names)).TryAdd(name, model);

    /// <summary>Adds a subcircuit unless the name is taken.</summary>
    public bool Add(string name, SubcircuitSlot subcircuit) =>
        (subcircuits ??= new(Names)).TryAdd(name, subcircuit);

    /// <summary>The parameter defined in this scope itself, or null.</summary>
    public ParameterSlot? OwnParameter(string name) => parameters?.GetValueOrDefault(name);

    /// <summary>The parameters defined in this scope itself, in order.</summary>
    public IReadOnlyCollection<ParameterSlot> OwnParameters =>
        parameters is null ? [] : parameters.Values;

    /// <summary>The subcircuits and models defined in this scope itself that nothing has used.</summary>
    public IEnumerable<UnusedDefinition> Unused =>
        (subcircuits?.Values ?? Enumerable.Empty<SubcircuitSlot>())
            .Where(slot => !slot.IsUsed)
            .Select(slot => new UnusedDefinition(
                "subcircuit",
                slot.Definition.Name,
                slot.Definition.Header.Where
            ))
            .Concat(
                (models?.Values ?? Enumerable.Empty<ModelSlot>())
                    .Where(slot => slot.Model is null)
                    .Select(slot => new UnusedDefinition(
                        "model",
                        slot.Card.Fields[1].Word,
                        slot.Card.Where
                    ))
            );

    /// <summary>The parameter of that name, or null.</summary>
    public ParameterSlot? FindParameter(string name) =>
        parameters?.GetValueOrDefault(name) ?? Parent?.FindParameter(name);

    /// <summary>The function of that name, or null.</summary>
    public FunctionDefinition? FindFunction(string name) =>
        functions?.GetValueOrDefault(name) ?? Parent?.FindFunction(name);

    /// <summary>The model of that name, or null.</summary>
    public ModelSlot? FindModel(string name) =>
        models?.GetValueOrDefault(name) ?? Parent?.FindModel(name);

    /// <summary>The subcircuit of that name, or null.</summary>
    public SubcircuitSlot? FindSubcircuit(string name) =>
        subcircuits?.GetValueOrDefault(name) ?? Parent?.FindSubcircuit(name);

    /// <summary>Names of all parameters that can be seen from here.</summary>
    public IEnumerable<string> ParameterNames =>
        (parameters?.Keys.AsEnumerable() ?? []).Concat(Parent?.ParameterNames ?? []);

    /// <summary>Names of all functions that can be seen from here.</summary>
    public IEnumerable<string> FunctionNames =>
        (functions?.Keys.AsEnumerable() ?? []).Concat(Parent?.FunctionNames ?? []);

    /// <summary>Names of all models that can be seen from here.</summary>
    public IEnumerable<string> ModelNames =>
        (models?.Keys.AsEnumerable() ?? []).Concat(Parent?.ModelNames ?? []);

    /// <summary>Names of all subcircuits that can be seen from here.</summary>
    public IEnumerable<string> SubcircuitNames =>
        (subcircuits?.Keys.AsEnumerable() ?? []).Concat(Parent?.SubcircuitNames ?? []);
}

/// <summary>The inside of a device.</summary>
/// <param name="Name">Name of the instance.</param>
/// <param name="Pins">Pin index by port name.</param>
internal sealed record DeviceScope(string Name, Dictionary<string, int> Pins);

/// <summary>A parameter: its text, and its value once it was needed.</summary>
/// <param name="name">Name as written.</param>
/// <param name="text">Its expression.</param>
/// <param name="scope">Where names in the expression are looked up.</param>
internal sealed class ParameterSlot(string name, ValueText text, Scope scope)
{
    /// <summary>How far the value is.</summary>
    public enum Stage
    {
        /// <summary>Not needed yet.</summary>
        Unread,

        /// <summary>Being worked out: meeting it again is a circle.</summary>
        Reading,

        /// <summary>Known.</summary>
        Known,

        /// <summary>Wrong, and reported.</summary>
        Failed,
    }

    /// <summary>Name as written.</summary>
    public string Name { get; } = name;

    /// <summary>Its expression.</summary>
    public ValueText Text { get; } = text;

    /// <summary>Where names in the expression are looked up.</summary>
    public Scope Scope { get; } = scope;

    /// <summary>How far the value is.</summary>
    public Stage State { get; set; }

    /// <summary>The value when <see cref="State"/> is <see cref="Stage.Known"/>.</summary>
    public double Value { get; set; }

    /// <summary>A parameter whose value is given.</summary>
    public static ParameterSlot Fixed(string name, double value, ValueText text, Scope scope) =>
        new(name, text, scope) { State = Stage.Known, Value = value };
}

/// <summary>A <c>.func</c>.</summary>
/// <param name="Name">Name as written.</param>
/// <param name="Parameters">Names of its arguments.</param>
/// <param name="Body">Its expression.</param>
/// <param name="Scope">Where it was defined.</param>
internal sealed record FunctionDefinition(
    string Name,
    string[] Parameters,
    ValueText Body,
    Scope Scope
);

/// <summary>A <c>.model</c> card, read when it is first used.</summary>
internal sealed class ModelSlot(Card card, Scope scope)
{
    /// <summary>The card.</summary>
    public Card Card { get; } = card;

    /// <summary>Where names in it are looked up.</summary>
    public Scope Scope { get; } = scope;

    /// <summary>The model once read.</summary>
    public DeviceModel? Model { get; set; }
}

/// <summary>A subcircuit and the scope it was defined in.</summary>
internal sealed record SubcircuitSlot(SubcircuitDefinition Definition, Scope Scope)
{
    /// <summary>True once an <c>X</c> card has named it.</summary>
    public bool IsUsed { get; set; }
}
