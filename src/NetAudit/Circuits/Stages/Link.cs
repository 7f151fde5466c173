namespace NetAudit.Circuits.Stages;

/// <summary>How a link carries current.</summary>
internal enum LinkKind
{
    /// <summary>Resistor, inductor, diode or rectifier: carries DC.</summary>
    Direct,

    /// <summary>Capacitor.</summary>
    Capacitive,

    /// <summary>Source.</summary>
    Source,
}

/// <summary>A passive connection between two nodes.</summary>
/// <param name="Element">Element index.</param>
/// <param name="A">Node.</param>
/// <param name="B">Node.</param>
/// <param name="Kind">What it carries.</param>
/// <param name="Size">Ohms, farads, or volts (amperes) of a source.</param>
internal readonly record struct Link(int Element, int A, int B, LinkKind Kind, double Size)
{
    /// <summary>The node at the other end.</summary>
    public int Other(int node) => node == A ? B : A;
}
