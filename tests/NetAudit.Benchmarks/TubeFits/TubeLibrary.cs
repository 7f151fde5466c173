using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Every fitted tube, and the text of <c>tubes.lib</c> that says so.</summary>
internal sealed record TubeLibrary(
    ImmutableArray<(string Type, TriodeParameters Tube)> Triodes,
    ImmutableArray<(string Type, PentodeParameters Tube)> Pentodes,
    ImmutableArray<(string Type, RectifierParameters Tube)> Rectifiers
)
{
    // Only names that also occur as device names in netlists; the base table knows more.
    private static readonly ImmutableArray<(string Type, string Alias)> Aliases =
    [
        ("12AX7", "ECC83"),
        ("12AT7", "ECC81"),
        ("12AU7", "ECC82"),
        ("EL84", "6BQ5"),
        ("EL34", "6CA7"),
        ("6V6GT", "6V6"),
        ("6L6GC", "6L6"),
        ("5AR4", "GZ34"),
        ("EZ81", "6CA4"),
    ];

    public static TubeLibrary Fit(ReferenceData data) =>
        new(
            [
                .. ((string[])["12AX7", "12AT7", "12AU7", "12AY7"]).Select(type =>
                    (type, TriodeFit.Fit(data, type).Rounded())
                ),
            ],
            [
                .. ((string[])["EL84", "EL34", "6V6GT", "6L6GC", "KT88", "6550", "EF86"]).Select(
                    type => (type, PentodeFit.Fit(data, type).Rounded())
                ),
            ],
            [
                .. ((string[])["5AR4", "EZ81"]).Select(type =>
                    (type, RectifierFit.Fit(data, type).Rounded())
                ),
            ]
        );

    /// <summary>The whole of <c>tubes.lib</c>.</summary>
    public string Text(ReferenceData data)
    {
        var text = new StringBuilder();
        text.Append(Header);
        foreach (var (type, tube) in Triodes)
        {
            foreach (var name in Names(type))
            {
                AppendTriode(text, name, tube, data.Capacitances[type]);
            }
        }
        foreach (var (type, tube) in Pentodes)
        {
            foreach (var name in Names(type))
            {
                AppendPentode(text, name, tube, data.Capacitances[type]);
            }
        }
        foreach (var (type, tube) in Rectifiers)
        {
            foreach (var name in Names(type))
            {
                AppendRectifier(text, name, tube);
            }
        }
        return text.ToString();
    }

    private static IEnumerable<string> Names(string type) =>
        Aliases.Where(pair => pair.Type == type).Select(pair => pair.Alias).Prepend(type);

    private const string Header = """
        * Tube subcircuits, written by the fit-tubes program: do not edit, change the fit. Equations and sources: docs/tubes.md
        * Ports: triodes P G K; pentodes and beam tetrodes P G K S; full-wave rectifiers P1 P2 K. Volts, amperes, farads.
        * BP plate current, BS screen current, BG grid current, BR1 BR2 rectifier plates.
        * RG plate to grid: insulation and the ions that a grid collects, by which one that hangs free drifts up.
        * tube_soft(x,w): positive part of x rounded over w volts; no exponential overflows.
        * tube_part(w,k): part that an electrode w volts positive collects. tube_left(w,k,q): part that a plate leaves to the screen.
        .func tube_soft(x,w) {(w)*(log(1+exp(min((x)/(w),40)))+max((x)/(w)-40,0))}
        .func tube_part(w,k) {(w)/sqrt((w)*(w)+(k)*(k))}
        .func tube_left(w,k,q) {1/(1+(w)/(k)+(q)*(w)*(w))}

        """;

    private static void AppendTriode(
        StringBuilder text,
        string name,
        TriodeParameters t,
        Capacitances c
    ) =>
        text.Append(
            CultureInfo.InvariantCulture,
            $$"""

            .subckt {{name}} P G K PARAMS: MU={{t.Mu}} VCT={{t.Contact}} PERV={{t.Perveance}} VW={{t.Width}} VWS={{t.Widening}}
            + VKN={{t.Knee}} VR={{TubeLaws.Retarding}} GPERV={{t.GridPerveance}} VGC=0 VGW={{GridLaw.Width}}
            {{Open(t)}}BP P K I={tube_part(tube_soft(v(P,K),VR),VKN)*{{SpaceCurrent(t)}}}
            BG G K I={GPERV*tube_soft(v(G,K)+VGC,VGW)^1.5}
            C1 G P {{c.GridPlate}}p
            C2 G K {{c.GridCathode}}p
            C3 P K {{c.PlateCathode}}p
            RG P G {{TubeLaws.GridInsulation / 1e9}}G
            .ends

            """
        );

    private static string Open(TriodeParameters t) =>
        t.Open is { } open
            ? FormattableString.Invariant($"+ MU2={open.Mu} PERV2={open.Perveance}\n")
            : "";

    private static string SpaceCurrent(TriodeParameters t) =>
        t.Open is null
            ? Section("PERV", "MU")
            : $"({Section("PERV", "MU")}\n+ +{Section("PERV2", "MU2")})";

    private static string Section(string perveance, string mu) =>
        $"{perveance}*tube_soft(v(G,K)+VCT+v(P,K)/{mu},VW+VWS*tube_soft(v(P,K),VR))^1.5";

    private static void AppendPentode(
        StringBuilder text,
        string name,
        PentodeParameters t,
        Capacitances c
    ) =>
        text.Append(
            CultureInfo.InvariantCulture,
            $$"""

            .subckt {{name}} P G K S PARAMS: MU={{t.Mu}} MUP={{t.PlateMu}} VCT={{t.Contact}} PERV={{t.Perveance}} VW={{t.Width}}
            + VKN={{t.Knee}} KNQ={{t.KneeSquare}} SHARE={{t.ScreenShare}} VR={{TubeLaws.Retarding}} VKS={{PentodeParameters.ScreenKnee}}
            + GPERV={{t.GridPerveance}} VGC=0 VGW={{GridLaw.Width}}
            BP P K I={PERV*(1-SHARE)*(1-tube_left(tube_soft(v(P,K),VR),VKN,KNQ))
            + *tube_soft(v(G,K)+VCT+v(S,K)/MU+v(P,K)/MUP,VW)^1.5}
            BS S K I={PERV*(SHARE+(1-SHARE)*tube_left(tube_soft(v(P,K),VR),VKN,KNQ))
            + *tube_soft(v(G,K)+VCT+v(S,K)/MU+v(P,K)/MUP,VW)^1.5*tube_part(tube_soft(v(S,K),VR),VKS)}
            BG G K I={GPERV*tube_soft(v(G,K)+VGC,VGW)^1.5}
            C1 G P {{c.GridPlate}}p
            C2 G K {{c.GridCathode}}p
            C3 P K {{c.PlateCathode}}p
            RG P G {{TubeLaws.GridInsulation / 1e9}}G
            .ends

            """
        );

    private static void AppendRectifier(StringBuilder text, string name, RectifierParameters t) =>
        text.Append(
            CultureInfo.InvariantCulture,
            $$"""

            .subckt {{name}} P1 P2 K PARAMS: PERV={{t.Perveance}} EX={{t.Power}} VW={{t.Width}}
            BR1 P1 K I={PERV*tube_soft(v(P1,K),VW)^EX}
            BR2 P2 K I={PERV*tube_soft(v(P2,K),VW)^EX}
            .ends

            """
        );
}
